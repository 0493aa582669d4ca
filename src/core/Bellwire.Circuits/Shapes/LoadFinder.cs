using System.Collections.Immutable;

namespace Bellwire.Circuits.Shapes;

/// <summary>Loads as resistances. Amperes on a rail that nothing regulates ask what the rail reads, and that depends on the load: a few steady states settle it.</summary>
internal static class LoadFinder
{
    private const int MostPasses = 40;

    public sealed record Answer(ImmutableArray<(RailLoad Load, string Name, double Ohms)> Loads, ShapeComplaint? Complaint = null);

    public static Answer Find(SupplyShape shape, ImmutableArray<SupplyRail> rails, IReadOnlyList<Device> devices)
    {
        var names = new HashSet<string>(devices.Select(d => d.Name));
        var named = new List<(RailLoad Load, string Name, double? Ohms)>();
        foreach (var load in shape.Loads)
        {
            var volts = load.AtVolts ?? (rails.Single(r => r.Name == load.Rail).MeantVolts is { } v ? Math.Abs(v) : null);
            named.Add((load, Fresh(load.Name ?? $"RL-{load.Rail}", names), load.Ohms ?? volts / load.Amperes));
        }
        var open = named.Where(n => n.Ohms is null).Select(n => n.Load.Rail).Distinct().ToList();
        // A first guess: the peak of the winding everywhere.
        var peak = shape.Transformer.OpenVolts * Math.Sqrt(2) * (shape.Rectifier == RectifierKind.Doubler ? 2 : 1);
        var at = open.ToDictionary(r => r, _ => peak);
        var last = new Dictionary<string, double>();
        double Ohms(RailLoad load, double? known) => known ?? Math.Max(at[load.Rail], 1e-3) / load.Amperes!.Value;
        for (var pass = 0; at.Count > 0; pass++)
        {
            var netlist = new Netlist([.. devices, .. named.Select(n => new Resistor(n.Name, n.Load.Rail, Netlist.Ground, Ohms(n.Load, n.Ohms)))]);
            var solved = SteadyState.Solve(netlist, new() { Tolerance = 1e-4, StepsPerPeriod = 40 });
            if (solved.Failure is { } none) return new([], new("Loads", $"{none.Words} Give the loads in ohms."));
            var worst = 0.0;
            foreach (var rail in open)
            {
                var now = Math.Abs(solved.Value!.Volts(rail).Mean);
                var change = now - at[rail];
                worst = Math.Max(worst, Math.Abs(change) / Math.Max(now, 1e-9));
                // Turn for turn the volts approach by a share; a soft winding makes it a large one, so every third turn goes where they would end (Aitken 1926).
                var share = last.TryGetValue(rail, out var before) && before != 0 ? change / before : 0;
                at[rail] = pass % 3 == 2 && share is > 0.05 and < 0.97 ? Math.Max(at[rail] + change / (1 - share), 1e-3 * peak) : now;
                last[rail] = change;
            }
            if (worst < 3e-4) break;
            if (pass >= MostPasses || at.Any(a => a.Value < 0.02 * peak))
            {
                var low = at.MinBy(a => a.Value);
                var index = named.FindIndex(n => n.Load.Rail == low.Key && n.Ohms is null);
                return new([], new($"Loads[{index}].Amperes", $"The supply cannot deliver {ShapeJudge.N(named[index].Load.Amperes!.Value)} A on {low.Key}; it would drag the rail down to nothing. Check the amperes, the winding's ohms and the resistors before it."));
            }
        }
        return new([.. named.Select(n => (n.Load, n.Name, Ohms(n.Load, n.Ohms)))]);
    }

    private static string Fresh(string stem, HashSet<string> taken)
    {
        var name = stem;
        for (var n = 2; !taken.Add(name); n++) name = $"{stem}-{n}";
        return name;
    }
}
