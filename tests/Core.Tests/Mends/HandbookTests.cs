using System.Globalization;
using Bellwire.Counsel.Mends;

namespace Core.Tests.Mends;

/// <summary>The sums against wire tables, worked examples and closed forms. Sources: reference/mends-bench/SOURCE.md.</summary>
public class HandbookTests
{
    private static string N(double v) => v.ToString("R", CultureInfo.InvariantCulture);

    [Fact]
    public void Wire_as_in_the_tables()
    {
        var awg = Bench.Values.GetProperty("awg");
        foreach (var mil in awg.GetProperty("mils").EnumerateObject()) Bench.Near(mil.Value.GetDouble(), Wires.Diameter(double.Parse(mil.Name, CultureInfo.InvariantCulture)) / 0.0254, awg.N("tolerance"), mil.Name + " AWG");
        foreach (var ohms in awg.GetProperty("ohmsPer1000Feet").EnumerateObject()) Bench.Near(ohms.Value.GetDouble(), Ohms(ohms.Name) * 304.8, awg.N("ohmsTolerance"), ohms.Name + " AWG, Ω/1000 ft");
        foreach (var ohms in awg.GetProperty("ohmsPerKilometre").EnumerateObject()) Bench.Near(ohms.Value.GetDouble(), Ohms(ohms.Name) * 1000, awg.N("ohmsTolerance"), ohms.Name + " AWG, Ω/km");
        // 75 °C against 20 °C: 1/0.8223, IEC 60028 coefficient.
        Bench.Near(1 / 0.8223, Wires.OhmsPerMetre(1, 75) / Wires.OhmsPerMetre(1, 20), 0.001, "warm");
        static double Ohms(string gauge) => Wires.OhmsPerMetre(Wires.Area(double.Parse(gauge, CultureInfo.InvariantCulture)), 20);
    }

    [Fact]
    public void Runs_as_worked()
    {
        foreach (var r in Bench.Values.GetProperty("runs").EnumerateArray())
        {
            var load = r.Maybe("load");
            var finding = Bench.Ask("wire", ("length", $"{N(r.N("feet"))} ft"), ("gauge", r.N("gauge")), ("volts", r.N("volts")), load is null ? ("amps", r.N("amps")) : ("load", load.Value));
            foreach (var field in new[] { "loop", "drop", "there", "loss" })
                if (r.Maybe(field) is { } expected) Bench.Near(Math.Abs(expected), finding.Value(field), r.N("tolerance"), $"{r.S("say")} {field}");
        }
    }

    [Fact]
    public void The_thinnest_wire_does_and_the_next_does_not()
    {
        var gauge = Bench.Ask("wire", ("length", "30 m"), ("volts", 24), ("amps", 0.5), ("lost", 5)).Value("thinnest");
        double There(double g) => Bench.Ask("wire", ("length", "30 m"), ("gauge", g), ("volts", 24), ("amps", 0.5)).Value("there");
        Assert.True(There(gauge) >= 22.8 && There(gauge + 1) < 22.8, N(gauge));
    }

    [Fact]
    public void The_distance_to_a_short_undoes_the_run()
    {
        foreach (var gauge in new[] { 18, 22, 24 })
        {
            var loop = Bench.Ask("wire", ("length", "41 m"), ("gauge", gauge), ("volts", 12), ("amps", 0.1)).Value("loop");
            Bench.Near(41, Bench.Ask("short", ("loop", N(loop + 0.3)), ("leads", 0.3), ("gauge", gauge)).Value("metres"), 1e-9, $"{gauge} AWG");
        }
        Assert.Equal(Judgement.NoAdvice, Bench.Ask("short", ("loop", 0.2), ("leads", 0.3), ("gauge", 22)).Judgement);
    }

    [Fact]
    public void Discharge_times_are_at_least_and_no_permission()
    {
        foreach (var d in Bench.Values.GetProperty("discharge").EnumerateArray())
        {
            var finding = Bench.Ask("discharge", ("farads", N(d.N("farads") * 1e6)), ("from", d.N("from")), ("ohms", N(d.N("ohms"))), ("what", "own"), ("to", d.N("to")));
            Bench.Near(d.N("seconds"), finding.Value("seconds"), 0.001, "seconds");
            if (d.Maybe("joules") is { } joules) Bench.Near(joules, finding.Value("joules"), 0.001, "joules");
            if (d.Maybe("watts") is { } watts) Bench.Near(watts, finding.Value("watts"), 0.001, "watts");
            Assert.StartsWith("At least", finding.Says);
            Bench.Minds(finding, "no permission");
        }
    }

    [Fact]
    public void The_supply_agrees_with_the_circuit_simulator_when_asked_by_its_current()
    {
        // ngspice circuit 1: 0.3051 A gives 14.341 V and 0.8303 V of ripple.
        var finding = Bench.Ask("supply", ("circuit", "centre"), ("ac", 12), ("ohms", 1), ("farads", 2200), ("amps", 0.3051));
        Bench.Near(14.341, finding.Value("volts"), 0.005, "volts");
        Bench.Near(0.8303, finding.Value("ripple"), 0.015, "ripple");
        Bench.Near(0.5368, finding.Value("capacitor"), 0.01, "ripple current of the reservoir");
        Assert.True(finding.Value("ripple") <= finding.Value("bound"));
        Assert.Equal(Judgement.NoAdvice, Bench.Ask("supply", ("ac", 12), ("ohms", 50), ("farads", 2200), ("amps", 5)).Judgement);
    }

    [Fact]
    public void Speakers_together()
    {
        foreach (var s in Bench.Values.GetProperty("speakers").EnumerateArray()) Bench.Near(s.N("load"), Bench.Ask("speaker-load", ("speakers", s.S("said"))).Value("load"), 0.0002, s.S("said"));
        var a = Bench.Values.GetProperty("amplifierRun");
        var finding = Bench.Ask("speaker-load", ("speakers", a.S("said")), ("volts", a.N("volts")), ("run", a.N("run")));
        Bench.Near(a.N("amplifier"), finding.Value("amplifier"), a.N("tolerance"), "amplifier");
        Bench.Near(a.N("watts"), finding.Value("watts"), a.N("tolerance"), "speaker");
        Assert.StartsWith("Too heavy", Bench.Ask("speaker-load", ("speakers", "8 8 45"), ("least", 4)).Says);
        Assert.Equal(Judgement.NoAdvice, Bench.Ask("speaker-load", ("speakers", "8 loud")).Judgement);
    }

    [Fact]
    public void Parcels_as_the_carriers_count_them()
    {
        foreach (var p in Bench.Values.GetProperty("parcel").EnumerateArray())
        {
            var s = p.GetProperty("sides");
            var finding = Bench.Ask("parcel", ("units", p.S("units")), ("long", s[0].GetDouble()), ("wide", s[1].GetDouble()), ("tall", s[2].GetDouble()), ("divisor", p.N("divisor")));
            if (p.Maybe("size") is { } size) Assert.Equal(size, finding.Value("size"), 0.006);
            Assert.Equal(p.N("charged"), finding.Value("charged"));
        }
    }

    /// <summary>A design rule of safety: whatever is asked, the answer begins with "No" – no, or not known – and is never a yes.</summary>
    [Fact]
    public void May_this_be_connected_never_answers_yes()
    {
        var asks = Calculation.Of("may-connect")!.Asks.OfType<ChoiceAsk>().ToList();
        var all = asks.Aggregate(Enumerable.Repeat(Given.Nothing, 1), (so, ask) => so.SelectMany(g => ask.Options.Select(o => g.With(ask, o.Value)))).ToList();
        Assert.Equal(asks.Aggregate(1, (n, a) => n * a.Options.Length), all.Count);
        var findings = all.Select(Calculation.Of("may-connect")!.Answer).ToList();
        Assert.All(findings, f =>
        {
            Assert.Equal(Judgement.NoAdvice, f.Judgement);
            Assert.True(f.Says is "No." || f.Says.StartsWith("Not known", StringComparison.Ordinal), f.Says);
        });
        Assert.Contains(findings, f => f.Says == "No.");
        Assert.Contains(findings, f => f.Says != "No.");
        Assert.Equal("No.", Bench.Ask("may-connect", ("what", "video"), ("where", "door"), ("read", "yes")).Says);
    }
}
