using Bellwire.Counsel.Mends;

namespace Core.Tests.Mends;

/// <summary>The fuse rules of design: marking rules, no marking no advice, never higher or slower (common practice, no source); pulse shares: a maker's selection guide.</summary>
public class FuseRuleTests
{
    [Theory]
    [InlineData("T500mAL250V", 0.5, 3, 'L', 250.0)]
    [InlineData("F 1.25A H 250V", 1.25, 1, 'H', 250.0)]
    [InlineData("1/2 A 250 V slow", 0.5, 3, null, 250.0)]
    [InlineData("1 1/2 A", 1.5, null, null, null)]
    [InlineData("3 A fast", 3, 1, null, null)]
    [InlineData("FF 0,5 A", 0.5, 0, null, null)]
    [InlineData("TT 2A", 2, 4, null, null)]
    public void A_marking_is_read(string text, double amps, int? speed, char? breaking, double? volts)
    {
        var marking = FuseMarking.Parse(text, out var why);
        Assert.True(marking is not null, why);
        Assert.Equal((amps, speed, breaking, volts), (marking.Amps, marking.Speed, marking.Breaking, marking.Volts));
    }

    [Fact]
    public void No_marking_no_advice()
    {
        var finding = Bench.Ask("fuse", ("new", "T1A 250V"), ("look", "black"), ("place", "tap"));
        Assert.Equal(Judgement.NoAdvice, finding.Judgement);
        Assert.StartsWith("No marking, no advice", finding.Says);
        Assert.Contains("foreign supply", string.Join(" ", finding.Why)); // a blown fuse is still a result
    }

    [Fact]
    public void The_same_fits() => Bench.Fits(Bench.Ask("fuse", ("marked", "T500mA L 250V"), ("new", "T500mAL250V")));

    [Theory]
    [InlineData("T500mA 250V", "T630mA 250V", "higher")]
    [InlineData("T500mA 250V", "T400mA 250V", "lower")]
    [InlineData("F500mA 250V", "T500mA 250V", "slower")]
    [InlineData("1/2 A 250 V", "T500mA 250V", "does not ask for a slow one")]
    [InlineData("T500mA 250V", "F500mA 250V", "quicker")]
    [InlineData("T500mA 250V", "500mA 250V", "speed is not marked")]
    [InlineData("T500mA 250V", "T500mA 125V", "arc")]
    [InlineData("T500mA 250V", "T500mA", "voltage is not marked")]
    [InlineData("T500mA H 250V", "T500mA L 250V", "breaking capacity")]
    public void Any_other_is_refused(string marked, string fresh, string because) => Bench.Refused(Bench.Ask("fuse", ("marked", marked), ("new", fresh)), because);

    /// <summary>UL 248-14 opens at 135 % within an hour, IEC 60127 carries 150 % for an hour: the same number is a higher fuse.</summary>
    [Fact]
    public void An_iec_fuse_is_higher_in_an_american_set() =>
        Bench.Refused(Bench.Ask("fuse", ("marked", "1A 250V slow"), ("set", "american"), ("new", "T1A 250V"), ("made", "iec")), "In this set it would be a higher one");

    [Fact]
    public void Higher_or_slower_never_passes_whatever_else_is_said()
    {
        foreach (var marked in Preferred.FuseAmps)
            foreach (var (i, fresh) in Preferred.FuseAmps.Index())
                foreach (var (speedMarked, speedNew) in new[] { ("F", "F"), ("F", "T"), ("T", "T"), ("", "T"), ("M", "TT") })
                {
                    var finding = Bench.Ask("fuse", ("marked", FormattableString.Invariant($"{speedMarked} {marked} A")), ("new", FormattableString.Invariant($"{speedNew} {fresh} A")));
                    if (fresh > marked || speedMarked != speedNew) Assert.Equal(Judgement.DoesNotFit, finding.Judgement);
                    else if (fresh == marked) Bench.Fits(finding);
                }
    }

    [Fact]
    public void The_switch_on_pulse_as_worked_in_the_guide()
    {
        var p = Bench.Values.GetProperty("fuse").GetProperty("pulse");
        var finding = Bench.Ask("fuse-pulse", ("volts", p.N("volts")), ("ohms", p.N("ohms")), ("farads", "2200 µF"));
        Bench.Near(p.N("pulse"), finding.Value("pulse"), 0.002, "pulse");
        foreach (var need in p.GetProperty("need").EnumerateObject()) Bench.Near(need.Value.GetDouble(), finding.Value("need-" + need.Name), p.N("tolerance"), need.Name);
        Assert.Equal(Bench.Values.GetProperty("fuse").GetProperty("derated").N("rating"), Preferred.FuseFor(0.5));
    }

    /// <summary>0.183 A²s (simulated switch-on) on a 1 A very quick fuse: not even 100; on a 1 A time-lag one: 10,000, not 100,000.</summary>
    [Theory]
    [InlineData(0.256, "Too much even for a hundred")]
    [InlineData(0.722, "about 10000 switch-ons")]
    public void How_many_switch_ons(double melt, string says)
    {
        // ½·I²·R·C = 0.183 with 17 V, 1 Ω.
        var finding = Bench.Ask("fuse-pulse", ("volts", 17), ("ohms", 1), ("farads", FormattableString.Invariant($"{0.183 / (0.5 * 17 * 17) * 1e6} µF")), ("melt", melt));
        Assert.Contains(says, finding.Says);
        Bench.Near(0.183 / melt * 100, finding.Value("share"), 1e-6, "share");
    }
}
