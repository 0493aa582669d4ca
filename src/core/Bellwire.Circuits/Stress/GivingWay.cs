namespace Bellwire.Circuits;

/// <summary>What becomes of a part that bears more than it survives.</summary>
public enum Ending
{
    /// <summary>No path is left between any of its pins.</summary>
    Opens,

    /// <summary>Its main path becomes a small resistance: the chip has fused.</summary>
    Shorts,
}

/// <summary>A part that gives way in a wrong connection.</summary>
/// <param name="AtSeconds">Since the source was tied on.</param>
/// <param name="Reckoned">Not run through in time: reckoned on from the means of the time before it.</param>
public sealed record GivingWay(string Part, Ending Ending, double AtSeconds, bool Reckoned);

/// <summary>
/// How parts give way. Semiconductors short first and open when the short has burnt too; everything else opens (common practice,
/// no source). Capacitors do not give way by volts here: electrolytics leak and vent over seconds to minutes.
/// </summary>
internal static class Destruction
{
    /// <summary>What a fused chip and its bond wires are left with, Ω (estimate).</summary>
    public const double FusedOhms = 0.1;

    /// <summary>A semiconductor past so many times its volts is taken as broken through at once (common practice, no source: makers print only what it bears).</summary>
    public const double BreaksAtTimesVolts = 2;

    /// <summary>Below so many times its watts a part may last for ever: no end is reckoned (common practice, no source).</summary>
    public const double Lasts = 2;

    public static bool IsSemiconductor(Device d) => d is Diode or Zener or SeleniumStack or BipolarTransistor or Mosfet or Regulator or OpAmp;

    /// <summary>The circuit once the part has given way, and how it did.</summary>
    public static (Netlist Circuit, Ending Ending) Break(Netlist circuit, string part)
    {
        var d = circuit[part];
        if (!IsSemiconductor(d)) return (circuit.Replace(part, [.. Gaps(circuit, d)]), Ending.Opens);
        var (a, b) = Path(d);
        // What is fused still heats: with the part's own watts and joules it is the next to go.
        var fused = new Resistor(part, d.Nodes[a], d.Nodes[b], FusedOhms) { Ratings = d.Ratings is { } r ? new(Watts: r.Watts, JoulesToDamage: r.JoulesToDamage) : null };
        return (circuit.Replace(part, [fused, .. Gaps(circuit, d, skip: part).Where(g => !(g.Nodes[0] == fused.Nodes[0] && g.Nodes[1] == fused.Nodes[1]))]), Ending.Shorts);
    }

    /// <summary>The two pins between which it shorts.</summary>
    private static (int A, int B) Path(Device d) => d switch
    {
        BipolarTransistor or Mosfet => (0, 2),
        OpAmp => (3, 4),
        _ => (0, 1),
    };

    /// <summary>Insulation from the first pin to every other, so that no node hangs in the air.</summary>
    private static IEnumerable<Resistor> Gaps(Netlist circuit, Device d, string? skip = null) =>
        Enumerable.Range(1, d.Nodes.Length - 1).Where(pin => d.Nodes[pin] != d.Nodes[0])
            .Select(pin => new Resistor(pin == 1 && skip is null ? d.Name : circuit.FreshName($"{d.Name}#gap{pin}"), d.Nodes[0], d.Nodes[pin], Fault.BrokenOhms));
}
