using Bellwire.Circuits;

namespace Core.Tests.Circuits;

/// <summary>Ratings in the steady state, and foreign sources on terminals, against numbers by hand.</summary>
public class StressTests
{
    [Fact]
    public void A_rectifier_sees_twice_the_peak_behind_a_centre_tap()
    {
        // Peak inverse volts 2·Epk less the source's drop (textbook): near 31 V here, so 25 V is too little and 50 V enough.
        var n = RectifierTests.CentreTapped();
        ImmutableNames(n, 25, ["D1", "D2"]);
        ImmutableNames(n, 50, []);

        static void ImmutableNames(Netlist n, double volts, string[] expected)
        {
            var rated = new Netlist(n.Devices.Select(d => d is Diode ? d with { Ratings = new(Volts: volts) } : d));
            Assert.Equal(expected, Stress.Of(SteadyState.Solve(rated).Required).Where(o => o.What == Strain.Volts).Select(o => o.Part).Order());
        }
    }

    [Fact]
    public void Watts_and_working_volts_are_judged_with_their_ratio()
    {
        var n = new Netlist(new VoltageSource("V1", "a", "0", 20, 0.001), new Resistor("R1", "a", "0", 100) { Ratings = new(Watts: 1) }, new Capacitor("C1", "a", "0", 1e-6) { Ratings = new(Volts: 16) });
        var o = Stress.Of(SteadyState.Solve(n).Required);
        Assert.Equal(("R1", Strain.Watts), (o[0].Part, o[0].What));
        Assert.Equal(4, o[0].Ratio, 0.01);
        Assert.Equal(("C1", Strain.Volts), (o[1].Part, o[1].What));
        Assert.Equal(1.25, o[1].Ratio, 0.01);
    }

    [Fact]
    public void Foreign_alternating_volts_take_the_input_before_the_resistor_burns()
    {
        // 24 V AC on a line made for millivolts: the input's 10 µF/16 V sees more than 16 V within the first quarter of a
        // period; the 100 Ω quarter-watt resistor bears 24²·… by hand: I = 24/(100+5+10) A, 4.4 W mean, 5 J beyond 0.25 W after 1.2 s.
        var n = new Netlist(new Resistor("R1", "line", "in", 100) { Ratings = new(Watts: 0.25, JoulesToDamage: 5) }, new Resistor("R2", "in", "0", 10),
            new Resistor("R3", "line", "x", 1), new Capacitor("C1", "x", "0", 10e-6) { Ratings = new(Volts: 16) });
        var w = WrongConnection.Try(n, "line", "0", new Sine(24, 60), 5, 2).Required;
        Assert.Equal([("C1", Strain.Volts), ("R1", Strain.Heat)], w.Events.Where(e => e.AtSeconds is not null).Select(e => (e.Part, e.What)));
        Assert.InRange(w.Events[0].AtSeconds!.Value, 0, 1.0 / 240);
        var watts = Math.Pow(24 / 115.0, 2) * 100;
        Assert.Equal(5 / (watts - 0.25), w.Events[1].AtSeconds!.Value, 0.05);
    }

    [Fact]
    public void A_node_that_is_not_there_is_named() =>
        Assert.Contains("nowhere", Assert.Throws<ArgumentException>(() => WrongConnection.Try(RectifierTests.CentreTapped(), "nowhere", "0", new Steady(5), 1, 0.1)).Message);
}
