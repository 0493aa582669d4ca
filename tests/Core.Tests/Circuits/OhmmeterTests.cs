using System.Globalization;
using Bellwire.Circuits;
using Bellwire.Circuits.Shapes;

namespace Core.Tests.Circuits;

/// <summary>What an ohmmeter says of a circuit without power, and circuits in which nothing alternates.</summary>
public class OhmmeterTests
{
    private static double Ohms(Netlist n, string plus, string minus = "0") => Ohmmeter.Read(n, plus, minus).Required.Ohms;

    [Fact]
    public void Resistors_in_series_beside_one_another_and_in_a_bridge()
    {
        // Ohm; the unbalanced bridge by the star that stands for its delta (Kennelly 1899): 10, 20, 30 Ω arms about 50 Ω.
        Assert.Equal(3000, Ohms(new(new Resistor("R1", "a", "m", 1000), new Resistor("R2", "m", "0", 2000)), "a"), 1e-2);
        Assert.Equal(2000.0 / 3, Ohms(new(new Resistor("R1", "a", "0", 1000), new Resistor("R2", "a", "0", 2000)), "a"), 1e-3);
        var bridge = new Netlist(new Resistor("R1", "a", "l", 10), new Resistor("R2", "a", "r", 20), new Resistor("R3", "l", "0", 30), new Resistor("R4", "r", "0", 20), new Resistor("R5", "l", "r", 50));
        // Delta a-l-r (10, 20, 50) as a star: legs 200/80, 500/80, 1000/80.
        var (atA, atL, atR) = (2.5, 6.25, 12.5);
        Assert.Equal(atA + 1 / (1 / (atL + 30) + 1 / (atR + 20)), Ohms(bridge, "a"), 1e-4);
    }

    [Fact]
    public void Capacitors_are_waited_for_windings_are_wire_sources_are_unplugged_and_junctions_stay_shut()
    {
        Assert.Equal(double.PositiveInfinity, Ohms(new(new Capacitor("C1", "a", "0", 1e-3)), "a"));
        Assert.Equal(100e3, Ohms(new(new Capacitor("C1", "a", "0", 1e-3, leakOhms: 100e3)), "a"), 1.0);
        var wire = new Netlist(new VoltageSource("V1", "p", "0", new Sine(120, 60), 0.5), new Transformer("T1", ["p", "0", "s", "0"], [new(120, 28), new(12, 1)]), new Resistor("R1", "s", "0", 1e6));
        Assert.Equal(28, Ohms(wire, "p"), 1e-4);
        Assert.Equal(1, Ohms(wire, "s"), 1e-4);
        // Hand meters do not open silicon with their ohms (common practice, no source): 10 kΩ beside a rectifier read 10 kΩ.
        Assert.Equal(10e3, Ohms(new(new Resistor("R1", "a", "0", 10e3), new Diode("D1", "a", "0")), "a"), 500.0);
        Assert.InRange(Ohms(new Netlist(new Resistor("R1", "a", "0", 10e3), new Diode("D1", "a", "0")).Faulted(new Shorted("D1")), "a"), 0, 0.1);
        Assert.Equal(double.PositiveInfinity, Ohms(new(new Resistor("R1", "a", "0", 1e9)), "a"));
        Assert.Throws<ArgumentException>(() => Ohmmeter.Read(wire, "nowhere"));
    }

    [Fact]
    public void Agrees_with_ngspice_on_circuits_with_junctions()
    {
        var circuits = new List<(string Name, Netlist Circuit, string Plus, string Minus)>();
        foreach (var stage in new OutputStage[] { new ComplementaryPair(16), new TransformerCoupled(12) })
        {
            var c = stage.Build().Required;
            var off = c.Netlist.Without(c.RailSource).Without(OutputStage.Tone);
            foreach (var p in c.Points.Where(p => off.Nodes.Contains(p.Node) && p.Node != p.Against)) circuits.Add(($"{stage.GetType().Name} {p.Name}", off, p.Node, p.Against));
            circuits.Add(($"{stage.GetType().Name} rail", off, OutputStage.Rail, "0"));
        }
        var read = circuits.Select(c => Ohmmeter.Read(c.Circuit, c.Plus, c.Minus).Required).ToList();
        var asked = Enumerable.Range(0, circuits.Count).Where(k => double.IsFinite(read[k].Ohms)).ToList();
        Assert.True(asked.Count >= 8, "too few points carry current");
        var judged = Ngspice.Run([.. asked.Select(k =>
        {
            // Its own windings are wire at direct current too: coupled coils in series with their ohms.
            var held = circuits[k].Circuit.Devices.SelectMany(d => d is Transformer t ? t.Windings.Select((w, i) => (Device)new Resistor($"{t.Name}w{i}", t.Nodes[2 * i], t.Nodes[2 * i + 1], w.Ohms)) : [d]);
            var tied = circuits[k].Circuit.Nodes.Where(n => n != "0").Select((n, i) => (Device)new Resistor($"RT{i}", n, "0", 1e11));
            var (lines, nodes) = SpiceText.Write(new Netlist(held.Concat(tied)).With(new CurrentSource("IX", circuits[k].Minus, circuits[k].Plus, read[k].TestAmperes)));
            string At(string node) => node == "0" ? "0" : FormattableString.Invariant($"v({nodes[node]})");
            return (lines + ".options gmin=1e-15 abstol=1e-15 reltol=1e-6\n", $"op\nlet x={At(circuits[k].Plus)}-{At(circuits[k].Minus)}\nprint x");
        })]);
        var off2 = asked.Select((k, i) => (circuits[k].Name, Ours: read[k].Ohms, Theirs: judged[i]["x"] / read[k].TestAmperes)).Where(x => Math.Abs(x.Ours / x.Theirs - 1) > 0.005).ToList();
        Assert.True(off2.Count == 0, string.Join('\n', off2.Select(x => string.Create(CultureInfo.InvariantCulture, $"{x.Name}: {x.Ours} against {x.Theirs}"))));
    }

    [Fact]
    public void A_circuit_in_which_nothing_alternates_is_read_at_its_operating_point()
    {
        var c = new AmplifierChip(16.5) { IdleAmperes = 30e-3 }.Build().Required;
        var at = c.Points.First(p => p.Name == "amp-half");
        var table = FaultTable.Build(c.Netlist, [at], [[new Open("C102")]], new() { Draws = 20 });
        for (var draw = 0; draw < 20; draw++)
            Assert.Equal(OperatingPoint.Solve(c.Netlist.Drawn(1, draw)).Required.Volts(at.Node, at.Against), table.Rows[0].Values(0, Quantity.Direct)[draw], 1e-9);
        Assert.All(table.Rows[0].Values(0, Quantity.Ripple).ToArray(), v => Assert.Equal(0, v));
    }

    [Fact]
    public void A_chip_without_supply_draws_nothing()
    {
        var c = new AmplifierChip(16.5) { IdleAmperes = 75e-3 }.Build().Required;
        var dead = OperatingPoint.Solve(c.Netlist.Faulted(new Open(c.RailSource))).Required;
        Assert.InRange(Math.Abs(dead.Volts(OutputStage.Rail)), 0, 0.01);
        Assert.Equal(75e-3, OperatingPoint.Solve(c.Netlist).Required.Amperes("U101", 3), 1e-3);
    }
}
