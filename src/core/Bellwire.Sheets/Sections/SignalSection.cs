using System.Collections.Immutable;
using Bellwire.Reasoning;
using Bellwire.Sheets.Rules;
using Bellwire.Sheets.Text;

namespace Bellwire.Sheets.Sections;

/// <summary>Signals, written out or generated from what a function needs, and hazards.</summary>
internal sealed class SignalSection(Names names, Complaints complaints)
{
    private sealed record Draft(string Id, string Name, IReadOnlyList<string> States, Fields Of);

    private readonly RuleReader rules = new(names, complaints);
    private readonly Dictionary<string, Mark> marks = new(StringComparer.Ordinal);
    private readonly List<SignalSpec> signals = [];

    public ImmutableArray<SignalSpec> Signals => [.. signals];

    /// <summary>Two passes: rules may name signals that stand further down, generated ones too.</summary>
    public void Read(Fields root, IReadOnlyList<FunctionSection.Draft> functions)
    {
        var drafts = new List<Draft>();
        foreach (var (id, f) in root.Entries("signals"))
        {
            var name = f.Text("name", required: true) ?? id;
            var states = f.Names("states");
            foreach (var s in states) f.CheckId(s, $"{f.Path}.states");
            var list = states.Count == 0 ? ["good", "dead"] : states.Select(s => s.Value).Distinct().ToList();
            if (states.Count > 0 && list.Count < 2) complaints.Add(f.At, f.Path, "A signal has at least two states, the good one first.");
            names.Signals[id] = list;
            marks[id] = f.At;
            drafts.Add(new(id, name, list, f));
        }

        foreach (var f in functions.Where(f => f.Generated)) names.Signals[f.Signal] = ["good", "dead"];
        CheckNamesApart(root);
        foreach (var draft in drafts) signals.Add(Written(draft));
        foreach (var f in functions.Where(f => f.Generated))
        {
            marks[f.Signal] = f.Of.At;
            signals.Add(Generated(f));
        }

        CheckLoops();
    }

    public ImmutableArray<HazardSpec> Hazards(Fields root)
    {
        var hazards = ImmutableArray.CreateBuilder<HazardSpec>();
        foreach (var item in root.List("hazards"))
        {
            var path = $"hazards[{hazards.Count + 1}]";
            if (rules.Sentence(item, path) is { } sentence && rules.Hazard(sentence, $"hazard-{hazards.Count + 1}", path) is { } hazard) hazards.Add(hazard);
        }

        return hazards.ToImmutable();
    }

    private SignalSpec Written(Draft d)
    {
        var f = d.Of;
        var through = f.Names("through");
        var lostName = f.Name("lost");
        if (lostName is not null && !d.States.Contains(lostName.Value))
            complaints.Add(lostName.At, f.Path, $"Unknown state {lostName.What} of signal {d.Id}. It has: {string.Join(", ", d.States)}.", Nearest.To(lostName.Value, d.States));
        var lost = lostName?.Value ?? (d.States.Contains("dead") ? "dead" : d.States.Count > 1 ? d.States[1] : d.States[0]);
        var before = new List<(Condition, string, double)>();
        var after = new List<(Condition, string, double)>();
        foreach (var t in through) Through(t, lost, before, after, f);
        foreach (var item in f.List("rules"))
            if (rules.Sentence(item, $"{f.Path}.rules") is { } sentence)
                before.AddRange(rules.Rule(sentence, d.Id, d.States, $"{f.Path}.rules"));
        var loop = f.Flag("loop") ?? false;
        f.Done();
        return new(d.Id, d.Name, [.. d.States], Number(d.Id, before.Concat(after)), loop);
    }

    private void Through(Scalar t, string lost, List<(Condition, string, double)> before, List<(Condition, string, double)> after, Fields f)
    {
        if (!names.Positions.TryGetValue(t.Value, out var p))
        {
            if (!names.IsDropped(t.Value)) complaints.Add(t.At, $"{f.Path}.through", $"Unknown position {t.What}.", Nearest.To(t.Value, names.Positions.Keys));
            return;
        }

        List<Condition> gone = [new Condition.Empty(p.Id)];
        if (p.HasContact) gone.Add(new Condition.SiteIn(p.Id, "contact", ["open"]));
        if (p.HasContact && p.Sites.First(s => s.Id == "contact").Faults.All(m => m.Id != "open")) gone.RemoveAt(1);
        before.Add((ConditionReader.AnyOf(gone), lost, 1.0));
        if (names.Site(p.Id, "other") is not null) after.Add((new Condition.SiteIn(p.Id, "other", ["other"]), RuleReader.Unknown, 1.0));
    }

    private SignalSpec Generated(FunctionSection.Draft f)
    {
        var conditions = new ConditionReader(names, complaints);
        var list = new List<(Condition, string, double)>();
        var after = new List<(Condition, string, double)>();
        foreach (var need in f.Needs)
        {
            if (names.Positions.TryGetValue(need.Value, out var p))
            {
                list.Add((new Condition.Empty(p.Id), "dead", 1.0));
                var faulty = conditions.Faulty(p, m => !m.Quiet && m.Id != "other");
                if (!ConditionReader.IsNever(faulty)) list.Add((faulty, "dead", 1.0));
                if (names.Site(p.Id, "other") is not null) after.Add((new Condition.SiteIn(p.Id, "other", ["other"]), RuleReader.Unknown, 1.0));
            }
            else if (names.Signals.TryGetValue(need.Value, out var states))
                list.Add((new Condition.SignalIn(need.Value, [.. states.Skip(1)]), "dead", 1.0));
            else if (!names.IsDropped(need.Value))
                complaints.Add(need.At, $"{f.Of.Path}.needs", $"Unknown name {need.What}: no position or signal is called so.", Nearest.To(need.Value, names.Positions.Keys.Concat(names.Signals.Keys)));
        }

        return new(f.Signal, f.Words, ["good", "dead"], Number(f.Signal, list.Concat(after)));
    }

    private static ImmutableArray<RuleSpec> Number(string signal, IEnumerable<(Condition When, string Then, double Chance)> list) =>
        [.. list.Select((r, i) => new RuleSpec($"{signal}#{i + 1}", r.When, r.Then, r.Chance))];

    private void CheckNamesApart(Fields root)
    {
        var all = names.Positions.Keys.Select(k => (k, "position", "positions")).Concat(names.Signals.Keys.Select(k => (k, "signal", "signals")))
            .Concat(names.Selectors.Keys.Select(k => (k, "selector", "selectors"))).Concat(names.Conditions.Keys.Select(k => (k, "condition", "conditions")));
        foreach (var group in all.GroupBy(a => a.k).Where(g => g.Count() > 1))
        {
            var at = root.Map(group.Last().Item3).FirstOrDefault(e => e.Key.Value == group.Key).Key?.At ?? root.At;
            complaints.Add(at, group.Key, $"'{group.Key}' names a {string.Join(" and a ", group.Select(g => g.Item2))}: rules could not tell them apart.");
        }
    }

    private void CheckLoops()
    {
        var follows = signals.GroupBy(s => s.Id).ToDictionary(g => g.Key, g => (IReadOnlyCollection<string>)g.First().Rules.SelectMany(r => Loops.SignalsIn(r.When)).ToHashSet(), StringComparer.Ordinal);
        var marked = signals.Where(s => s.Loop).Select(s => s.Id).ToHashSet(StringComparer.Ordinal);
        foreach (var group in Loops.In(follows))
            foreach (var id in group.Where(id => !marked.Contains(id)))
                complaints.Add(marks[id], $"signals.{id}", $"Signals {string.Join(", ", group.Order(StringComparer.Ordinal))} follow from one another. Mark each with 'loop: true', or break the loop.");
    }
}
