using System.Collections.Immutable;
using Bellwire.Reasoning;
using Bellwire.Sheets.Text;

namespace Bellwire.Sheets.Rules;

/// <summary>Reads conditions by the grammar of docs/sheets.md. "not" binds tightest, then "and", then "or".</summary>
internal sealed class ConditionReader(Names names, Complaints complaints)
{
    private const int Deepest = 40;

    /// <summary>What can never hold: a term about something this set does not have.</summary>
    public static Condition Never { get; } = new Condition.Any([]);

    public static bool IsNever(Condition c) => c is Condition.Any { Of.IsEmpty: true };

    /// <summary>A condition, or null after a complaint.</summary>
    public Condition? Read(Words words, string path, int depth = 0)
    {
        if (depth > Deepest)
        {
            complaints.Add(words.Where(words.Peek), path, $"More than {Deepest} brackets inside one another.");
            return null;
        }

        var parts = new List<Condition>();
        do
        {
            if (ReadBoth(words, path, depth) is not { } part) return null;
            parts.Add(part);
        }
        while (words.Accept("or"));
        return AnyOf(parts);
    }

    private Condition? ReadBoth(Words words, string path, int depth)
    {
        var parts = new List<Condition>();
        do
        {
            if (ReadOne(words, path, depth) is not { } part) return null;
            parts.Add(part);
        }
        while (words.Accept("and"));
        return AllOf(parts);
    }

    private Condition? ReadOne(Words words, string path, int depth)
    {
        var not = false;
        while (words.Accept("not")) not = !not;
        Condition? inner;
        if (words.NextIs("("))
        {
            words.Take();
            inner = Read(words, path, depth + 1);
            if (inner is null) return null;
            if (!words.Accept(")"))
            {
                complaints.Add(words.Where(words.Peek), path, $"Expected ')', found {Found(words.Peek)}.");
                return null;
            }
        }
        else if (words.Peek is { Text: "any" or "every" })
        {
            inner = ReadRepeated(words, path, words.Take()!.Value);
        }
        else
        {
            inner = ReadTerm(words, path, null);
        }

        return inner is null ? null : not ? Not(inner) : inner;
    }

    private Condition? ReadRepeated(Words words, string path, Word quantifier)
    {
        var subject = words.Peek;
        if (subject is null || Expander.Unbound(subject.Value.Text, names.Repeat) is not { } index)
        {
            complaints.Add(words.Where(subject), path, $"Expected a name with a repeated index such as 'run-<room>' after '{quantifier.Text}', found {Found(subject)}.");
            return null;
        }

        words.Take();
        var values = TakeValues(words, path, subject.Value);
        if (values is null) return null;
        var each = new List<Condition>();
        for (var i = 1; i <= names.Repeat[index]; i++)
        {
            var bound = new Word(subject.Value.Text.Replace($"<{index}>", i.ToString(), StringComparison.Ordinal), subject.Value.Offset);
            if (Term(words, path, bound, values) is not { } term) return null;
            each.Add(term);
        }

        return quantifier.Text == "any" ? AnyOf(each) : AllOf(each);
    }

    private Condition? ReadTerm(Words words, string path, Word? given)
    {
        var subject = given ?? words.Take();
        if (subject is null || subject.Value.Text is ")" or "and" or "or" or "," or ":" or "%" or "when")
        {
            complaints.Add(words.Where(subject), path, $"Expected a condition, found {Found(subject)}.");
            return null;
        }

        if (subject.Value.Text == "always") return new Condition.Always();
        if (BareValue(subject.Value.Text) is { } bare) return bare;
        var values = TakeValues(words, path, subject.Value);
        return values is null ? null : Term(words, path, subject.Value, values);
    }

    private Condition.Circumstance? BareValue(string text)
    {
        if (IsSubject(text)) return null;
        var holders = names.Conditions.Where(c => c.Value.Contains(text)).Select(c => c.Key).ToList();
        return holders.Count == 1 ? new Condition.Circumstance(holders[0], [text]) : null;
    }

    private bool IsSubject(string text) =>
        names.Signals.ContainsKey(text) || names.Positions.ContainsKey(text) || names.Selectors.ContainsKey(text) || names.Conditions.ContainsKey(text);

    private List<Word>? TakeValues(Words words, string path, Word subject)
    {
        if (!words.Accept("at")) words.Accept("is");
        var value = words.Peek;
        if (value is null || value.Value.Text is "and" or "or" or "(" or ")" or "," or ":" or "kills")
        {
            if (Known(subject.Text)) complaints.Add(words.Where(value), path, $"Expected what '{subject.Text}' should be, found {Found(value)}.");
            else UnknownSubject(words, path, subject);
            return null;
        }

        words.Take();
        var list = new List<Word>();
        var from = 0;
        foreach (var part in value.Value.Text.Split('/'))
        {
            list.Add(new(part, value.Value.Offset + from));
            from += part.Length + 1;
        }

        return list;
    }

    private bool Known(string subject) => IsSubject(subject) || names.IsDropped(subject) || subject.Contains('<', StringComparison.Ordinal)
        || subject.IndexOf('.') is var dot and > 0 && names.Site(subject[..dot], subject[(dot + 1)..]) is not null || names.PositionsWithSite(subject).Any();

    private Condition? Term(Words words, string path, Word subject, List<Word> values)
    {
        var name = subject.Text;
        if (names.Signals.TryGetValue(name, out var states))
            return Choose(values, [.. states.Skip(1)], "bad", states, $"state", $"signal {name}", words, path) is { } s ? new Condition.SignalIn(name, s) : null;
        if (names.Positions.TryGetValue(name, out var position)) return OfPosition(words, path, position, values);
        if (names.Selectors.TryGetValue(name, out var throws))
            return Choose(values, [], null, throws, "throw", $"selector {name}", words, path) is { } t ? new Condition.SelectorAt(name, t) : null;
        if (names.Conditions.TryGetValue(name, out var known))
            return Choose(values, [], null, known, "value", $"condition {name}", words, path) is { } v ? new Condition.Circumstance(name, v) : null;
        if (names.IsDropped(name)) return Never;
        var dot = name.IndexOf('.');
        if (dot > 0) return OfSite(words, path, subject, name[..dot], name[(dot + 1)..], values);
        var holders = names.PositionsWithSite(name).ToList();
        if (holders.Count == 1) return OfSite(words, path, subject, holders[0], name, values);
        if (holders.Count > 1)
            complaints.Add(words.Where(subject), path, $"'{name}' is a site of several positions ({string.Join(", ", holders.Take(4))}): write position.site.");
        else UnknownSubject(words, path, subject);
        return null;
    }

    private Condition? OfPosition(Words words, string path, PositionDraft position, List<Word> values)
    {
        if (values is [{ Text: "empty" }]) return new Condition.Empty(position.Id);
        if (values is [{ Text: "faulty" }]) return Faulty(position, _ => true);
        complaints.Add(words.Where(values[0]), path, $"Expected 'empty' or 'faulty' after position '{position.Id}', found {Found(values[0])}. For one of its sites write {position.Id}.site.");
        return null;
    }

    /// <summary>Any site of what sits there, or of the place, in a mode that counts.</summary>
    public Condition Faulty(PositionDraft position, Func<FaultDraft, bool> counts) => AnyOf([.. names.SitesAt(position)
        .Select(s => (s.Id, Modes: s.Faults.Where(counts).Select(f => f.Id).ToImmutableArray()))
        .Where(s => s.Modes.Length > 0)
        .Select(s => (Condition)new Condition.SiteIn(position.Id, s.Id, s.Modes))]);

    private Condition? OfSite(Words words, string path, Word subject, string position, string site, List<Word> values)
    {
        if (!names.Positions.TryGetValue(position, out var at))
        {
            complaints.Add(words.Where(subject), path, $"Unknown position '{position}'.", Nearest.To(position, names.Positions.Keys));
            return null;
        }

        if (names.Site(position, site) is not { } found)
        {
            complaints.Add(words.Where(subject), path, $"Position '{position}' has no site '{site}'.", Nearest.To(site, names.SitesAt(at).Select(s => s.Id)));
            return null;
        }

        var modes = found.Faults.Select(f => f.Id).ToList();
        return Choose(values, modes, "faulty", ["good", .. modes], "mode", $"{position}.{site}", words, path) is { } chosen
            ? new Condition.SiteIn(position, site, chosen) : null;
    }

    private ImmutableArray<string>? Choose(
        List<Word> values, IReadOnlyList<string> allButGood, string? shorthand, IReadOnlyList<string> valid, string noun, string of, Words words, string path)
    {
        if (shorthand is not null && values is [var only] && only.Text == shorthand) return [.. allButGood];
        var good = true;
        foreach (var v in values.Where(v => !valid.Contains(v.Text)))
        {
            complaints.Add(words.Where(v), path, $"Unknown {noun} '{v.Text}' of {of}. It has: {string.Join(", ", valid)}.", Nearest.To(v.Text, valid));
            good = false;
        }

        return good ? [.. values.Select(v => v.Text).Distinct()] : null;
    }

    private void UnknownSubject(Words words, string path, Word subject) => complaints.Add(words.Where(subject), path,
        $"Unknown name '{subject.Text}': no signal, position, site, selector or condition is called so.", Nearest.To(subject.Text, names.Subjects()));

    public static string Found(Word? word) => word is { } w ? $"'{Scalar.Clip(w.Text)}'" : "the end";

    public static Condition AnyOf(IReadOnlyList<Condition> parts)
    {
        var kept = parts.Where(p => !IsNever(p)).ToList();
        if (kept.Any(p => p is Condition.Always)) return new Condition.Always();
        return kept.Count == 1 ? kept[0] : new Condition.Any([.. kept.SelectMany(p => p is Condition.Any a ? a.Of : [p])]);
    }

    private static Condition AllOf(List<Condition> parts)
    {
        if (parts.Any(IsNever)) return Never;
        var kept = parts.Where(p => p is not Condition.Always).ToList();
        return kept.Count switch { 0 => new Condition.Always(), 1 => kept[0], _ => new Condition.All([.. kept]) };
    }

    private static Condition Not(Condition c) => IsNever(c) ? new Condition.Always() : c is Condition.Always ? Never : new Condition.Not(c);
}
