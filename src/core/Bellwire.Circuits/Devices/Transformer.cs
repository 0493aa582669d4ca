using System.Collections.Immutable;
using Bellwire.Circuits.Solving;

namespace Bellwire.Circuits;

/// <summary>One winding: turns relative to the others, its wire and the flux it does not share.</summary>
/// <param name="Turns">Relative turns, above 0; equal to the open-circuit volts when the first winding's turns are its volts.</param>
/// <param name="Ohms">Wire resistance, Ω, above 0.</param>
/// <param name="LeakageHenries">Leakage inductance, H, 0 or more.</param>
public sealed record Winding(double Turns, double Ohms, double LeakageHenries = 0);

/// <summary>
/// Windings on one core: ideal when nothing else is said, else with magnetising inductance and leakages.
/// Pins come in pairs, start and finish of each winding. Two coils L1, L2 with coupling k are
/// <see cref="Coupled"/>: leakages (1−k)·L1 and (1−k)·L2, magnetising k·L1, ratio √(L2/L1).
/// </summary>
public sealed record Transformer : Device
{
    /// <param name="nodes">Start, finish of each winding in turn.</param>
    /// <param name="magnetisingHenries">Seen from the first winding, H; infinite for an ideal core.</param>
    public Transformer(string name, ImmutableArray<string> nodes, ImmutableArray<Winding> windings, double magnetisingHenries = double.PositiveInfinity) : base(name, nodes)
    {
        if (windings.Length < 1 || nodes.Length != 2 * windings.Length) throw new ArgumentException($"{name}: {windings.Length} windings need {2 * windings.Length} nodes, not {nodes.Length}.", nameof(nodes));
        foreach (var w in windings)
        {
            Ranged.Positive(w.Turns, "turns");
            Ranged.Positive(w.Ohms, "winding ohms");
            Ranged.NotNegative(w.LeakageHenries, "leakage henries");
        }
        (Windings, MagnetisingHenries) = (windings, magnetisingHenries);
    }

    public ImmutableArray<Winding> Windings { get; init; }
    public double MagnetisingHenries { get; init; }

    /// <summary>Turns shorted among themselves: an extra winding on the core closed on itself; 0 when none.</summary>
    public double ShortedTurns { get; init; }

    /// <summary>Resistance of the shorted loop, Ω.</summary>
    public double ShortedOhms { get; init; } = 1;

    public override IEnumerable<Fault> UsualFaults => [.. Enumerable.Range(0, Windings.Length).SelectMany(w => new Fault[] { new WindingOpen(Name, w), new ShortedTurns(Name, w) })];
    public override ImmutableArray<string> Pins => [.. Enumerable.Range(1, Windings.Length).SelectMany(w => new[] { $"start {w}", $"finish {w}" })];
    public override IEnumerable<(int From, int To)> DirectPaths => Enumerable.Range(0, Windings.Length).Select(w => (2 * w, 2 * w + 1));

    public static Transformer Coupled(string name, string a1, string b1, double henries1, double ohms1, string a2, string b2, double henries2, double ohms2, double coupling)
    {
        Ranged.Within(coupling, 1e-6, 1, "coupling");
        return new(name, [a1, b1, a2, b2],
            [new(1, ohms1, (1 - coupling) * henries1), new(Math.Sqrt(henries2 / henries1), ohms2, (1 - coupling) * henries2)], coupling * henries1);
    }

    internal override void Export(SpiceText t)
    {
        var core = t.Inner("core");
        for (var w = 0; w < Windings.Length; w++) Winding(t, t.Node(Nodes[2 * w]), t.Node(Nodes[2 * w + 1]), core, Windings[w], w);
        var first = Windings[0].Turns;
        if (double.IsFinite(MagnetisingHenries)) t.L(core, "0", MagnetisingHenries / (first * first));
        if (ShortedTurns > 0) Winding(t, "0", "0", core, new(ShortedTurns, ShortedOhms), Windings.Length);
    }

    // Ampere-turns are currents into the core's node, volts per turn its voltage.
    private static void Winding(SpiceText t, string a, string b, string core, Winding w, int number)
    {
        var (wire, leak, sense) = (t.Inner($"wire{number}"), t.Inner($"leak{number}"), t.Next());
        t.R(a, leak, w.Ohms);
        if (w.LeakageHenries > 0) t.L(leak, wire, w.LeakageHenries);
        else t.V(leak, wire, new Steady(0));
        t.Line($"v{sense} {t.Inner($"foot{number}")} {b} 0");
        t.Line($"e{sense} {wire} {t.Inner($"foot{number}")} {core} 0 {SpiceText.N(w.Turns)}");
        t.Line($"f{sense} 0 {core} v{sense} {SpiceText.N(w.Turns)}");
    }

    internal override void Install(Assembly into)
    {
        // The core is an unknown of its own, in volts per turn; its Kirchhoff row says that the ampere-turns add up
        // to the magnetising current.
        var core = into.Unknown($"{Name}#core");
        for (var w = 0; w < Windings.Length; w++)
            into.Winding(Name, into.Pin(2 * w), into.Pin(2 * w + 1), core, Windings[w].Turns, Windings[w].Ohms, Windings[w].LeakageHenries);
        var ground = into.Ground;
        var first = Windings[0].Turns;
        if (double.IsFinite(MagnetisingHenries)) into.Inductive(Name, core, ground, MagnetisingHenries / (first * first), 1e-9);
        if (ShortedTurns > 0) into.Winding(Name, ground, ground, core, ShortedTurns, ShortedOhms, 0);
    }

    public override string ToString() => $"Transformer {Name} {string.Join(' ', Windings)} {MagnetisingHenries} {ShortedTurns} {ShortedOhms} {Ratings}";
}
