using System.Collections.Immutable;
using Bellwire.Circuits;
using Bellwire.Reasoning;
using Bellwire.Sheets;

namespace Bellwire.Counsel;

/// <summary>The states a circuit tells apart: each trouble and each pair of troubles that can be at once.</summary>
internal static class CircuitStates
{
    /// <summary>Each trouble, once for every thing it may be.</summary>
    public static IEnumerable<(string State, ImmutableArray<Fault> Faults)> Singles(CircuitSpec spec) =>
        spec.Troubles.SelectMany(t => t.Variants.Select(v => (t.Words, v)));

    /// <summary>Each pair, once for every two things it may be that go into the circuit together.</summary>
    public static IEnumerable<(string State, ImmutableArray<Fault> Faults)> Pairs(CircuitSpec spec) =>
        from i in Enumerable.Range(0, spec.Troubles.Length)
        let one = spec.Troubles[i]
        from other in spec.Troubles.Skip(i + 1)
        where !Exclude(one.When, other.When)
        from a in one.Variants
        from b in other.Variants
        where Fits(spec.Netlist, a, b)
        select (Target.OfTroubles.Pair(one.Words, other.Words), (ImmutableArray<Fault>)[.. a, .. b]);

    /// <summary>Two that can never be at once: two modes of one site, two states of one signal.</summary>
    private static bool Exclude(Condition a, Condition b) => (a, b) switch
    {
        (Condition.SiteIn x, Condition.SiteIn y) => x.Position == y.Position && x.Site == y.Site && !x.Modes.Intersect(y.Modes).Any(),
        (Condition.SignalIn x, Condition.SignalIn y) => x.Signal == y.Signal && !x.States.Intersect(y.States).Any(),
        _ => false,
    };

    private static bool Fits(Netlist circuit, ImmutableArray<Fault> a, ImmutableArray<Fault> b)
    {
        try { circuit.Faulted(a.Concat(b)); return true; }
        catch (ArgumentException) { return false; }
    }
}
