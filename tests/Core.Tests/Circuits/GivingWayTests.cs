using Bellwire.Circuits;

namespace Core.Tests.Circuits;

/// <summary>Parts that give way under a foreign source, one after another, against sums by hand and against ngspice.</summary>
public class GivingWayTests
{
    private static readonly Ratings Quarter = new(Watts: 0.25, JoulesToDamage: 1);

    private static WrongConnection Tie(Netlist n, double volts, double ohms, double seconds, bool reckonOn = true) =>
        WrongConnection.Try(n, "line", "0", new Steady(volts), ohms, seconds, reckonOn: reckonOn).Required;

    [Theory]
    [InlineData(4, false)] // run through
    [InlineData(0.25, true)] // reckoned on
    public void What_burns_leaves_its_current_to_the_rest(double seconds, bool reckoned)
    {
        // Two 40 Ω in parallel behind 10 V and 10 Ω: 1/6 A and 1.111 W each. The first has its joule beyond 0.25 W after 1/0.8611 = 1.161 s,
        // the second has gathered as much of its three. Alone it bears (10/50)²·40 = 1.6 W: two joules more in 2/1.35 = 1.481 s.
        var n = new Netlist(new Resistor("R1", "line", "0", 40) { Ratings = Quarter }, new Resistor("R2", "line", "0", 40) { Ratings = Quarter with { JoulesToDamage = 3 } });
        var gone = Tie(n, 10, 10, seconds, reckoned).Gone;
        Assert.Equal([("R1", Ending.Opens, reckoned), ("R2", Ending.Opens, reckoned)], gone.Select(g => (g.Part, g.Ending, g.Reckoned)));
        Assert.Equal(1.1613, gone[0].AtSeconds, 0.01);
        Assert.Equal(2.6428, gone[1].AtSeconds, 0.02);
    }

    [Fact]
    public void A_zener_shorts_first_and_its_short_opens_when_it_burns_too()
    {
        // Common practice, no source: semiconductors short, then open. 12 V behind 0.5 Ω on the 0.1 Ω that is left: 20 A, 40 W; the joule beyond
        // half a watt is gathered in 1/39.5 s.
        var n = new Netlist(new Zener("Z1", "0", "line", 5.1, dynamicOhms: 2) { Ratings = new(Watts: 0.5, JoulesToDamage: 1) }, new Resistor("R1", "line", "0", 1000));
        var gone = Tie(n, 12, 0.5, 0.5).Gone;
        Assert.Equal([Ending.Shorts, Ending.Opens], gone.Select(g => g.Ending));
        Assert.Equal(1 / 39.5, gone[1].AtSeconds - gone[0].AtSeconds, 0.0005);
        Assert.All(gone, g => Assert.False(g.Reckoned));
    }

    [Fact]
    public void A_transistor_far_past_its_volts_shorts_and_takes_the_resistor_before_it()
    {
        // 120 V on 45 V collector to emitter: through at once (common practice, no source). Then 120/110.1 Ω: 118.8 W, a joule in 8.4 ms.
        var n = new Netlist(new Resistor("R1", "line", "c", 100) { Ratings = Quarter }, new BipolarTransistor("Q1", "c", "b", "0") { Ratings = new(Volts: 45, Watts: 0.3, JoulesToDamage: 1) }, new Resistor("RB", "b", "0", 1e4));
        var w = Tie(n, 120, 10, 0.25);
        Assert.Equal([("Q1", Ending.Shorts), ("R1", Ending.Opens)], w.Gone.Select(g => (g.Part, g.Ending)));
        Assert.InRange(w.Gone[0].AtSeconds, 0, 1e-4);
        Assert.Equal(1 / (Math.Pow(120 / 110.1, 2) * 100 - 0.25), w.Gone[1].AtSeconds, 0.0002);
        Assert.Equal(120 / 45.0, w.Events.Single(e => e is { Part: "Q1", What: Strain.Volts }).Ratio, 0.02);
        Assert.DoesNotContain(w.Events, e => e is { Part: "Q1", What: Strain.Watts or Strain.Heat });
    }

    [Fact]
    public void Below_twice_its_volts_and_twice_its_watts_nothing_gives_way()
    {
        // 60 V on 45 V; 6 V on 100 Ω behind 1 Ω: 0.353 W on a quarter watt. Both are told, neither ends.
        var n = new Netlist(new Resistor("R1", "line", "0", 100) { Ratings = Quarter }, new Resistor("RS", "line", "c", 1000), new BipolarTransistor("Q1", "c", "b", "0") { Ratings = new(Volts: 4) }, new Resistor("RB", "b", "0", 1e4));
        var w = Tie(n, 6, 1, 0.25);
        Assert.Empty(w.Gone);
        Assert.Equal([("Q1", Strain.Volts), ("R1", Strain.Watts)], w.Events.Select(e => (e.Part, e.What)));
    }

    [Fact]
    public void A_slow_fuse_melts_in_its_own_time_and_saves_what_is_slower()
    {
        // Holds 1.5 A; 12 V on 5 + 0.1 Ω draws 2.353 A. One store that sheds in proportion (docs/engines/circuits.md) melts after
        // −τ·ln(1 − (1.5/2.353)²), τ = 4/2.25 s; the resistor, 27.7 W on 20, would need 60/7.7 s but has no such ratio as to burn.
        var fuse = new Fuse("F1", "line", "x", 1, 0.1) { Ratings = new(MeltingAmpereSquaredSeconds: 4) };
        var n = new Netlist(fuse, new Resistor("R1", "x", "0", 4.9) { Ratings = new(Watts: 20, JoulesToDamage: 60) });
        var gone = Assert.Single(Tie(n, 12, 0.1, 0.25).Gone);
        Assert.Equal(("F1", true), (gone.Part, gone.Reckoned));
        Assert.Equal(fuse.OpensAfterSeconds(12 / 5.1)!.Value, gone.AtSeconds, 0.01 * gone.AtSeconds);
    }

    [Fact]
    public void However_many_give_way_it_ends()
    {
        var n = new Netlist(Enumerable.Range(1, WrongConnection.MostGone + 5).Select(k => (Device)new Resistor($"R{k}", "line", "0", 100 * k) { Ratings = Quarter }));
        var w = Tie(n, 1000, 0.01, 0.05);
        Assert.True(w.LeftAtThat);
        Assert.Equal(WrongConnection.MostGone, w.Gone.Length);
        Assert.Equal(w.Gone.Select(g => g.AtSeconds).Order(), w.Gone.Select(g => g.AtSeconds));
    }

    [Fact]
    public void A_rectifier_branch_that_burns_open_agrees_with_ngspice()
    {
        // 24 V AC behind 20 Ω on two branches: a resistor, a rectifier and a reservoir with its load; and a resistor alone, which bears more once the
        // first has gone. In ngspice a resistor's heat is a capacitor of 1 F that takes p − W; it opens over a millijoule where that passes its joules.
        var n = new Netlist(new Resistor("R1", "line", "a", 22) { Ratings = new(Watts: 0.25, JoulesToDamage: 1) }, new Diode("D1", "a", "raw"), new Capacitor("C1", "raw", "0", 220e-6),
            new Resistor("RL", "raw", "0", 100), new Resistor("R2", "line", "0", 330) { Ratings = new(Watts: 0.25, JoulesToDamage: 3) });
        static string Burns(string part, string a, string b, double ohms, double joules) =>
            FormattableString.Invariant($"B{part} {a} {b} i=v({a},{b})/{ohms}*0.5*(1-tanh((v(h{part})-{joules})/1e-3))+v({a},{b})*1e-9\nC{part} h{part} 0 1 ic=0\nB{part}h 0 h{part} i=(v({a},{b})*v({a},{b})/{ohms}-0.25)*0.5*(1-tanh((v(h{part})-{joules})/1e-3))\n");
        var run = Assert.Single(Ngspice.Run([(
            FormattableString.Invariant($"V1 s 0 sin(0 {24 * Math.Sqrt(2)} 60)\nRS s line 20\n") + Burns("one", "line", "a", 22, 1) + Burns("two", "line", "0", 330, 3)
            + "D1 a raw d1\n.model d1 d is=14.11e-9 n=1.984 rs=33.89e-3\nC1 raw 0 220u ic=0\nRL raw 0 100\n.options reltol=1e-4\n",
            "tran 50u 4 0 50u uic\nmeas tran one when v(hone)=1\nmeas tran two when v(htwo)=3")]));
        foreach (var (seconds, near) in new[] { (4.0, 0.01), (0.1, 0.04) })
        {
            var gone = WrongConnection.Try(n, "line", "0", new Sine(24, 60), 20, seconds, reckonOn: true).Required.Gone;
            Assert.Equal(["R1", "R2"], gone.Select(g => g.Part));
            Assert.Equal(run["one"], gone[0].AtSeconds, near * run["one"]);
            Assert.Equal(run["two"], gone[1].AtSeconds, near * run["two"]);
        }
    }
}
