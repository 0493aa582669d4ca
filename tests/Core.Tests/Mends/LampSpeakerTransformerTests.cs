using Bellwire.Counsel.Mends;

namespace Core.Tests.Mends;

/// <summary>Lamp exponents −12 and 3.5: makers' rules (from memory).</summary>
public class LampRuleTests
{
    private static Finding Ask(string place, params (string, object)[] more) => Bench.Ask("lamp", [("place", place), ("volts", 6.3), ("amps", 0.15), .. more]);

    [Fact]
    public void Across_a_winding()
    {
        var finding = Ask("winding", ("feed", 6.3), ("newvolts", 7), ("newamps", 0.15));
        Bench.Fits(finding);
        Bench.Near(Math.Pow(0.9, 3.5) * 100, finding.Value("light"), 1e-9, "light");
        Bench.Near(Math.Pow(0.9, -12) * 100, finding.Value("life"), 1e-9, "life");
        Bench.Refused(Ask("winding", ("newvolts", 6.3), ("newamps", 0.25)), "more heat for the lens");
        Bench.Refused(Ask("winding", ("newvolts", 5), ("newamps", 0.15)), "bright and short");
    }

    [Fact]
    public void In_a_chain_the_current_rules()
    {
        Bench.Refused(Ask("series", ("newvolts", 6.3), ("newamps", 0.25)), "stays dark");
        Bench.Refused(Ask("series", ("newvolts", 6.3), ("newamps", 0.15), ("kind", "led")), "needs a filament");
        Bench.Refused(Ask("limiter", ("newvolts", 6.3), ("newamps", 0.15), ("kind", "led")), "part of the circuit");
    }
}

/// <summary>Match 45 to 8 Ω: turns 2.372; 8 in place of 45 loads 5.6 times (reference/mends-bench, closed form).</summary>
public class SpeakerRuleTests
{
    [Fact]
    public void Eight_for_forty_five_is_refused_with_its_figures()
    {
        var t = Bench.Values.GetProperty("turns");
        var finding = Bench.Ask("speaker", ("ohms", t.N("old")), ("role", "both"), ("count", 4), ("least", 8), ("new", t.N("new")));
        Bench.Near(t.N("turns"), finding.Value("turns"), 0.0002, "turns");
        Bench.Near(t.N("load"), finding.Value("load"), 1e-9, "load");
        Bench.Refused(finding, "loads the amplifier");
        Assert.Contains("microphone", string.Join(" ", finding.Why));
    }

    [Fact]
    public void The_same_fits_and_a_field_coil_gets_no_advice()
    {
        Bench.Fits(Bench.Ask("speaker", ("ohms", 45), ("watts", 2), ("new", 45), ("newwatts", 3)));
        Assert.Equal(Judgement.NoAdvice, Bench.Ask("speaker", ("ohms", 8), ("role", "field"), ("new", 8)).Judgement);
        Bench.Refused(Bench.Ask("speaker", ("ohms", 45), ("watts", 2), ("new", 45), ("newwatts", 1)), "tears");
        Bench.Refused(Bench.Ask("speaker", ("ohms", 45), ("count", 8), ("least", 8), ("new", 45)), "below the 8 Ω");
    }
}

/// <summary>√2 and high line in closed form; VA, taps and isolation: common practice, no source.</summary>
public class TransformerRuleTests
{
    private static Finding Ask(params (string, object)[] more)
    {
        var part = new Dictionary<string, object> { ["newline"] = 120, ["newvolts"] = 24, ["newva"] = 50, ["newtap"] = "yes", ["kind"] = "isolating" };
        foreach (var (field, value) in more) part[field] = value;
        return Bench.Ask("transformer", [("line", 120), ("volts", 24), ("va", 40), .. part.Select(p => (p.Key, p.Value))]);
    }

    [Fact]
    public void The_right_one_fits() => Bench.Fits(Ask());

    [Theory]
    [InlineData("newva", "20", "runs hot")]
    [InlineData("newtap", "no", "no way back")]
    [InlineData("newtap", "", "not known")]
    [InlineData("newvolts", "20", "low line")]
    [InlineData("newvolts", "28", "more heat")]
    [InlineData("kind", "auto", "does not isolate")]
    [InlineData("kind", "switching", "hash")]
    [InlineData("kind", "", "isolates is not known")]
    [InlineData("newline", "230", "Its primary is for")]
    public void Others_are_refused(string field, string value, string because) => Bench.Refused(Ask((field, value)), because);

    [Fact]
    public void Sixty_hertz_iron_is_refused_on_fifty() => Bench.Refused(Ask(("hertz", 50), ("newhertz", 60)), "saturates");

    /// <summary>27.6 V open, high line 10 %, per half: 27.6·1.1·√2/2 = 21.47 V.</summary>
    [Fact]
    public void Open_circuit_volts_against_what_hangs_there()
    {
        var finding = Ask(("open", 27.6), ("most", 20), ("circuit", "centre"));
        Bench.Near(27.6 * 1.1 * Math.Sqrt(2) / 2, finding.Value("raw"), 1e-12, "raw");
        Bench.Refused(finding, "what it bears");
        Bench.Fits(Ask(("open", 27.6), ("most", 25), ("circuit", "centre")));
    }

    [Fact]
    public void Thin_house_wires_are_not_fed_more_than_a_hundred() => Bench.Refused(Ask(("where", "house"), ("newva", 150)), "become the fuse");
}
