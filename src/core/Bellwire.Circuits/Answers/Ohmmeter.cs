namespace Bellwire.Circuits;

/// <summary>What an ohmmeter shows.</summary>
/// <param name="Ohms">Ω, infinite for OL.</param>
/// <param name="TestAmperes">The current of the range it settled on, A.</param>
public sealed record OhmReading(double Ohms, double TestAmperes);

/// <summary>
/// What a hand meter on ohms says between two nodes of a circuit without power. It pushes a current – a milliampere on its lowest range,
/// a tenth of that on each next – and shows volts over amperes; a range goes to 0.4 V, so that sound silicon junctions stay shut
/// (common practice, no source). Capacitors are waited for, a winding is its wire.
/// </summary>
public static class Ohmmeter
{
    /// <summary>End of the highest range, Ω; above it the meter shows OL.</summary>
    public const double MostOhms = 40e6;

    private const double FullVolts = 0.4, FirstAmperes = 1e-3, LastAmperes = 1e-8, TetherOhms = 1e11;
    private const string Probe = "ohmmeter";

    /// <summary>The reading, or why there is none.</summary>
    /// <param name="plus">Where the red lead is.</param>
    /// <exception cref="ArgumentException">No such node, or the wiring has complaints.</exception>
    public static Outcome<OhmReading> Read(Netlist netlist, string plus, string minus = Netlist.Ground)
    {
        ArgumentNullException.ThrowIfNull(netlist);
        foreach (var node in new[] { plus, minus })
            if (node != Netlist.Ground && !netlist.Nodes.Contains(node)) throw new ArgumentException($"No node is called {node}.", nameof(plus));
        return plus == minus ? new OhmReading(0, FirstAmperes) : ReadAsleep(Asleep(netlist), plus, minus);
    }

    /// <summary>Without power: sources are unplugged, chips sleep, and every node is held to common by so much that it hangs nowhere in the air.</summary>
    internal static Netlist Asleep(Netlist netlist)
    {
        IEnumerable<Device> Sleeping(Device d) => d switch
        {
            VoltageSource v => [new Resistor(v.Name, v.Nodes[0], v.Nodes[1], TetherOhms)],
            CurrentSource => [],
            Regulator r => [r with { QuiescentAmperes = 0 }],
            OpAmp => [],
            Transformer t => t.Windings.Select((w, k) => new Resistor($"{t.Name}#{k}", t.Nodes[2 * k], t.Nodes[2 * k + 1], w.Ohms)),
            _ => [d],
        };
        var parts = netlist.Devices.SelectMany(Sleeping);
        return new(parts.Concat(netlist.Nodes.Where(n => n != Netlist.Ground).Select(n => new Resistor("tether#" + n, n, Netlist.Ground, TetherOhms))));
    }

    internal static Outcome<OhmReading> ReadAsleep(Netlist asleep, string plus, string minus)
    {
        for (var amperes = FirstAmperes; amperes > 0.5 * LastAmperes; amperes /= 10)
        {
            var solved = OperatingPoint.Solve(asleep.With(new CurrentSource(Probe, minus, plus, amperes)));
            if (solved.Failure is { } failure) return failure;
            var volts = solved.Required.Volts(plus, minus);
            if (volts <= FullVolts) return new OhmReading(volts / amperes, amperes);
        }
        return new OhmReading(double.PositiveInfinity, LastAmperes);
    }
}
