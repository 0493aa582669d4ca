using Bellwire.Counsel.Mends;

namespace Core.Tests.Mends;

/// <summary>Life and ESR against makers' figures; the windows are common practice, no source.</summary>
public class ElectrolyticRuleTests
{
    private static Finding Ask(params (string, object)[] more) => Bench.Ask("electrolytic", [("marked", "1000"), ("volts", 25), .. more]);

    [Fact]
    public void Life_and_esr_as_the_makers_give_them()
    {
        var c = Bench.Values.GetProperty("capacitor");
        foreach (var l in c.GetProperty("life").EnumerateArray())
            Bench.Near(l[3].GetDouble(), Bench.Ask("capacitor-life", ("hours", l[0].GetDouble()), ("rated", l[1].GetDouble()), ("place", l[2].GetDouble())).Value("hours"), 1e-9, l.ToString());
        foreach (var e in c.GetProperty("esr").EnumerateArray())
            Bench.Near(e[2].GetDouble(), Capacitors.Esr(Capacitors.TanDelta(e[0].GetDouble(), e[1].GetDouble()), 120, e[0].GetDouble()), c.N("esrTolerance"), e.ToString());
    }

    [Fact]
    public void A_good_substitute_fits()
    {
        var finding = Ask(("new", "1200"), ("newvolts", 35), ("newtemp", 105), ("newhours", 5000), ("newesr", 0.05), ("place", 65));
        Bench.Fits(finding);
        Bench.Near(5000 * 16 / 8766.0, finding.Value("years"), 1e-6, "years"); // 40 °C below: 2⁴
    }

    [Theory]
    [InlineData("new", "470", "hum")]
    [InlineData("new", "2200", "heavier pulse")]
    [InlineData("newvolts", "16", "not below what is marked")]
    [InlineData("newtemp", "65", "not cooler")]
    [InlineData("newesr", "1", "no more")]
    public void What_is_less_is_refused(string field, string value, string because)
    {
        var part = new Dictionary<string, object> { ["new"] = "1000", ["newvolts"] = 25, ["newtemp"] = 105, ["newesr"] = 0.05, [field] = value };
        Bench.Refused(Ask([.. part.Select(p => (p.Key, p.Value))]), because);
    }

    [Fact]
    public void A_quarter_above_the_highest_reading()
    {
        var finding = Ask(("read", 24), ("new", "1000"), ("newvolts", 25));
        Bench.Refused(finding, "30 V");
        Bench.Minds(Ask(("read", 27)), "find out why");
    }

    [Fact]
    public void A_polar_one_never_sees_ac() => Bench.Refused(Ask(("role", "nonpolar"), ("new", "1000"), ("newvolts", 50)), "backwards");

    [Fact]
    public void Behind_a_tube_there_is_a_largest_first_capacitor() => Bench.Refused(Bench.Ask("electrolytic", ("role", "tube"), ("marked", "20"), ("volts", 450), ("new", "47"), ("newvolts", 450), ("ripple", 0.1), ("newripple", 0.5)), "larger first capacitor");

    [Fact]
    public void Positive_ground_is_said() => Bench.Minds(Ask(("ground", "positive")), "plus goes to the chassis");

    /// <summary>A form sends its choices whether they were touched or not.</summary>
    [Fact]
    public void A_choice_left_as_it_stood_proposes_nothing() => Assert.Equal(Judgement.Reckoned, Ask(("poles", "polar")).Judgement);

    [Fact]
    public void With_no_part_it_says_what_to_look_for()
    {
        var finding = Ask();
        Assert.Equal(Judgement.Reckoned, finding.Judgement);
        Assert.Equal("Look for 1000 µF (up to 1500 µF), 25 V or more, 105 °C.", finding.Says);
    }
}
