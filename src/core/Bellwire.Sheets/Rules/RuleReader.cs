using System.Collections.Immutable;
using System.Globalization;
using Bellwire.Reasoning;
using Bellwire.Sheets.Text;

namespace Bellwire.Sheets.Rules;

/// <summary>Reads rules and hazards, the sentences of a sheet.</summary>
internal sealed class RuleReader(Names names, Complaints complaints)
{
    /// <summary>The state a rule names when an unknown fault decides: some state, uniform, always the same one.</summary>
    public const string Unknown = "?";

    private readonly ConditionReader conditions = new(names, complaints);

    /// <summary>YAML takes "as raw: dead, low" for a map of one entry; here it is a sentence again.</summary>
    public Scalar? Sentence(Node item, string path)
    {
        var text = item switch
        {
            Scalar s => s,
            MapNode { Entries: [(var key, Scalar value)] } => key.With(key.Value + ": " + value.Value),
            _ => null,
        };
        if (text is null) complaints.Add(item.At, path, $"Expected a sentence, found {item.What}.");
        else if (text.Value.Length > Words.Longest) complaints.Add(item.At, path, $"A sentence of more than {Words.Longest} characters.");
        else return text;
        return null;
    }

    /// <summary>The rules one sentence stands for: (condition, state, chance); none after a complaint or when it can never hold.</summary>
    public IEnumerable<(Condition When, string Then, double Chance)> Rule(Scalar sentence, string signal, IReadOnlyList<string> states, string path)
    {
        var words = new Words(sentence);
        if (words.NextIs("as")) return As(words, signal, states, path);
        var state = words.Take();
        if (state is null) return Complain(words, null, path, "Expected a rule such as 'dead when supply.fuse open', found nothing.");
        if (!words.Accept("when")) return Complain(words, words.Peek, path, $"Expected 'when' after the state '{Scalar.Clip(state.Value.Text)}', found {ConditionReader.Found(words.Peek)}.");
        var known = state.Value.Text == Unknown || states.Contains(state.Value.Text);
        if (!known) UnknownState(words, state.Value, signal, states, path);
        if (conditions.Read(words, path) is not { } when || Odds(words, path) is not { } chance || !End(words, path) || !known || ConditionReader.IsNever(when)) return [];
        return [(when, state.Value.Text, chance)];
    }

    private List<(Condition, string, double)> As(Words words, string signal, IReadOnlyList<string> states, string path)
    {
        words.Take();
        words.Accept("upstream");
        var source = words.Take();
        if (source is null) return Complain(words, source, path, "Expected a signal after 'as', found the end.");
        var dropped = names.IsDropped(source.Value.Text);
        if (!names.Signals.TryGetValue(source.Value.Text, out var from) && !dropped)
        {
            complaints.Add(words.Where(source), path, $"Unknown signal '{source.Value.Text}'.", Nearest.To(source.Value.Text, names.Signals.Keys));
            return [];
        }

        if (!words.Accept(":")) return Complain(words, words.Peek, path, $"Expected ':' after 'as {source.Value.Text}', found {ConditionReader.Found(words.Peek)}.");
        var rules = new List<(Condition, string, double)>();
        do
        {
            var theirs = words.Take();
            if (theirs is null) return Complain(words, theirs, path, "Expected a state, found the end.");
            if (from is not null && !from.Contains(theirs.Value.Text)) UnknownState(words, theirs.Value, source.Value.Text, from, path);
            var ours = theirs;
            if (words.Accept("becomes") && (ours = words.Take()) is null) return Complain(words, null, path, "Expected a state after 'becomes', found the end.");
            if (!states.Contains(ours!.Value.Text)) UnknownState(words, ours.Value, signal, states, path);
            else if (from?.Contains(theirs.Value.Text) == true) rules.Add((new Condition.SignalIn(source.Value.Text, [theirs.Value.Text]), ours.Value.Text, 1.0));
        }
        while (words.Accept(","));
        return End(words, path) ? rules : [];
    }

    /// <summary>A hazard sentence, or null after a complaint or when it can never bite.</summary>
    public HazardSpec? Hazard(Scalar sentence, string id, string path)
    {
        var words = new Words(sentence);
        if (conditions.Read(words, path) is not { } trigger) return null;
        if (!words.Accept("kills"))
        {
            Complain(words, words.Peek, path, $"Expected 'kills' after the condition, found {ConditionReader.Found(words.Peek)}.");
            return null;
        }

        var target = words.Take();
        var dot = target?.Text.IndexOf('.') ?? -1;
        if (dot <= 0)
        {
            Complain(words, target, path, $"Expected position.site after 'kills', found {ConditionReader.Found(target)}.");
            return null;
        }

        string position = target!.Value.Text[..dot], site = target.Value.Text[(dot + 1)..];
        var mode = words.Take();
        if (names.IsDropped(target.Value.Text)) return null;
        if (names.Site(position, site) is not { } found)
        {
            complaints.Add(words.Where(target), path, names.Positions.ContainsKey(position) ? $"Position '{position}' has no site '{site}'." : $"Unknown position '{position}'.",
                names.Positions.TryGetValue(position, out var p) ? Nearest.To(site, names.SitesAt(p).Select(s => s.Id)) : Nearest.To(position, names.Positions.Keys));
            return null;
        }

        if (mode is null || found.Faults.All(f => f.Id != mode.Value.Text))
        {
            complaints.Add(words.Where(mode), path, $"Unknown mode {ConditionReader.Found(mode)} of {position}.{site}. It has: {string.Join(", ", found.Faults.Select(f => f.Id))}.",
                mode is null ? null : Nearest.To(mode.Value.Text, found.Faults.Select(f => f.Id)));
            return null;
        }

        if (Odds(words, path) is not { } chance) return null;
        var each = words.Accept("each");
        if (each && !words.Accept("time"))
        {
            Complain(words, words.Peek, path, $"Expected 'time' after 'each', found {ConditionReader.Found(words.Peek)}.");
            return null;
        }

        if (NamesASite(trigger))
        {
            complaints.Add(sentence.At, path, "A hazard is set off by signals, selectors and conditions, not by a site: name the signal that shows it.");
            return null;
        }

        return End(words, path) && !ConditionReader.IsNever(trigger) ? new HazardSpec(id, sentence.Value, trigger, position, site, mode.Value.Text, chance, each) : null;
    }

    private static bool NamesASite(Condition c) => c.Leaves().Any(x => x is Condition.SiteIn or Condition.Empty);

    // "(8 in 10)" or "(80 %)"; 1 when there is none; null after a complaint.
    private double? Odds(Words words, string path)
    {
        if (!words.Accept("(")) return 1.0;
        var first = words.Take();
        if (!Number(first, out var a)) return Expected(words, first, path, "a number of odds such as '(8 in 10)'");
        double p;
        if (words.Accept("%")) p = a / 100;
        else if (!words.Accept("in")) return Expected(words, words.Peek, path, "'in' or '%'");
        else
        {
            var second = words.Take();
            if (!Number(second, out var b)) return Expected(words, second, path, "a number after 'in'");
            p = a / b;
        }

        if (!(p > 0 && p <= 1))
        {
            complaints.Add(words.Where(first), path, $"Odds out of range: {Fields.Show(p)}. Expected more than 0 and at most 1.");
            return null;
        }

        return words.Accept(")") ? p : Expected(words, words.Peek, path, "')'");
    }

    private static bool Number(Word? word, out double value)
    {
        value = 0;
        return word is { } w && double.TryParse(w.Text, NumberStyles.Float, CultureInfo.InvariantCulture, out value) && double.IsFinite(value);
    }

    private double? Expected(Words words, Word? found, string path, string what)
    {
        complaints.Add(words.Where(found), path, $"Expected {what}, found {ConditionReader.Found(found)}.");
        return null;
    }

    private bool End(Words words, string path)
    {
        if (words.AtEnd) return true;
        complaints.Add(words.Where(words.Peek), path, $"Expected the end of the sentence, 'and' or 'or', found {ConditionReader.Found(words.Peek)}.");
        return false;
    }

    private void UnknownState(Words words, Word word, string signal, IReadOnlyList<string> states, string path) => complaints.Add(words.Where(word), path,
        $"Unknown state '{Scalar.Clip(word.Text)}' of signal {signal}. It has: {string.Join(", ", states)}.", Nearest.To(word.Text, states));

    private List<(Condition, string, double)> Complain(Words words, Word? at, string path, string message)
    {
        complaints.Add(words.Where(at), path, message);
        return [];
    }
}
