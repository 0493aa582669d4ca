using System.Collections.Immutable;
using Bellwire.Sheets.Text;
using Table = System.Collections.Immutable.ImmutableDictionary<string, System.Collections.Immutable.ImmutableDictionary<string, double>>;

namespace Bellwire.Sheets.Sections;

/// <summary>Outcome → (state → P(outcome | state)), from an instrument's trust, the owner's, or a table.</summary>
internal static class Matrices
{
    /// <summary>An outcome and the states it stands for; a state in several outcomes is shared evenly among them.</summary>
    internal sealed record Group(string Outcome, ImmutableArray<string> States);

    private const double Omitted = 0.2, Wrong = 0.1; // owners' reports: estimates of practice, no source

    /// <summary>The right outcome with chance <paramref name="right"/>, any other evenly.</summary>
    public static Table Instrument(IReadOnlyList<Group> groups, IReadOnlyList<string> states, double right) => Build(groups, states, (g, s) =>
    {
        var holders = Holders(groups, s);
        if (holders == groups.Count) return 1.0 / groups.Count;
        return g.States.Contains(s) ? right / holders : (1 - right) / (groups.Count - holders);
    });

    /// <summary>The owner's word: of troubles 2 in 10 go unmentioned, 1 in 10 is told wrong.</summary>
    public static Table Owner(IReadOnlyList<Group> groups, IReadOnlyList<string> states) => Build(groups, states, (g, s) =>
    {
        if (groups.Count < 2) return 1;
        var fine = groups.FirstOrDefault(x => x.States.Contains(states[0])) ?? groups[0];
        var holders = Holders(groups, s);
        var others = groups.Count - holders;
        if (fine.States.Contains(s))
            return g.States.Contains(s) ? (others == 0 ? 1.0 : 1 - Wrong) / holders : Wrong / others;
        var rest = others - 1;
        if (g == fine) return Omitted;
        return g.States.Contains(s) ? (rest == 0 ? 1 - Omitted : 1 - Omitted - Wrong) / holders : Wrong / rest;
    });

    private static int Holders(IReadOnlyList<Group> groups, string state) => Math.Max(1, groups.Count(g => g.States.Contains(state)));

    private static Table Build(IReadOnlyList<Group> groups, IReadOnlyList<string> states, Func<Group, string, double> p) =>
        groups.GroupBy(g => g.Outcome).ToImmutableDictionary(g => g.Key, g => states.Distinct().ToImmutableDictionary(s => s, s => p(g.First(), s)));

    /// <summary>A written table, complete and adding up; null when there is none or it is wrong.</summary>
    public static Table? Read(Fields f, string key, IReadOnlyList<string> outcomes, IReadOnlyList<string> states, string target)
    {
        var entries = f.Map(key);
        if (entries.Count == 0) return null;
        var path = $"{f.Path}.{key}";
        var table = ImmutableDictionary.CreateBuilder<string, ImmutableDictionary<string, double>>();
        foreach (var (outcome, row) in entries)
        {
            if (states.Count > 0 && !outcomes.Contains(outcome.Value))
            {
                f.Complaints.Add(outcome.At, path, $"Unknown outcome {outcome.What}. There are: {string.Join(", ", outcomes)}.", Nearest.To(outcome.Value, outcomes));
                continue;
            }

            var cells = ImmutableDictionary.CreateBuilder<string, double>();
            foreach (var (state, value) in (row as MapNode)?.Entries ?? [])
                if (states.Count > 0 && !states.Contains(state.Value))
                    f.Complaints.Add(state.At, path, $"Unknown state {state.What} of {target}. It has: {string.Join(", ", states)}.", Nearest.To(state.Value, states));
                else if (f.AsNumber(value, path, 0, 1) is { } p) cells[state.Value] = p;
            if (row is not MapNode) f.Complaints.Add(row.At, path, $"Expected a map of states, found {row.What}.");
            foreach (var s in states) cells.TryAdd(s, 0);
            table[outcome.Value] = cells.ToImmutable();
        }

        foreach (var o in outcomes.Where(o => !table.ContainsKey(o))) table[o] = states.ToImmutableDictionary(s => s, _ => 0.0);
        var at = f.Node(key)!.At;
        foreach (var s in states)
        {
            var sum = table.Values.Sum(row => row.GetValueOrDefault(s));
            if (Math.Abs(sum - 1) > 1e-6) f.Complaints.Add(at, path, $"The outcomes for state '{s}' add up to {Fields.Show(sum)}, not to 1.");
        }

        return table.ToImmutable();
    }

    /// <summary>Outcome → [low, high): which typed readings mean which outcome. Bands may not overlap.</summary>
    public static ImmutableDictionary<string, (double Low, double High)> Bands(Fields f, IReadOnlyList<string> outcomes, bool hasPoint)
    {
        var bands = ImmutableDictionary.CreateBuilder<string, (double Low, double High)>();
        var path = $"{f.Path}.bands";
        foreach (var (outcome, node) in f.Map("bands"))
        {
            if (!outcomes.Contains(outcome.Value))
            {
                if (outcomes.Count > 0) f.Complaints.Add(outcome.At, path, $"Unknown outcome {outcome.What}. There are: {string.Join(", ", outcomes)}.", Nearest.To(outcome.Value, outcomes));
                continue;
            }

            if (node is not ListNode { Items.Count: 2 } pair)
            {
                f.Complaints.Add(node.At, path, $"Expected two numbers, [low, high], found {node.What}.");
                continue;
            }

            if (f.AsNumber(pair.Items[0], path, -1e9, 1e9) is not { } low || f.AsNumber(pair.Items[1], path, -1e9, 1e9) is not { } high) continue;
            if (low >= high) f.Complaints.Add(node.At, path, $"Expected the lower limit first, found {Fields.Show(low)} and {Fields.Show(high)}.");
            else if (bands.FirstOrDefault(b => low < b.Value.High && b.Value.Low < high) is { Key: not null } other)
                f.Complaints.Add(node.At, path, $"The band of '{outcome.Value}' overlaps that of '{other.Key}'.");
            else bands[outcome.Value] = (low, high);
        }

        if (bands.Count > 0 && !hasPoint) f.Complaints.Add(f.At, path, "Bands need a 'point' where the reading is taken.");
        return bands.ToImmutable();
    }
}
