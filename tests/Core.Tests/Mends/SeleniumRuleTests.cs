using Bellwire.Counsel.Mends;

namespace Core.Tests.Mends;

/// <summary>The dropper against the steady-state solver (itself held to ngspice), the warm-up voltage against √2·V in closed form.</summary>
public class SeleniumRuleTests
{
    private static readonly (string, object)[] Set = [("ac", 117), ("farads", 40), ("amps", 0.06), ("wanted", 120)];
    private static Finding Ask(params (string, object)[] more) => Bench.Ask("selenium", [.. Set, .. more]);

    [Fact]
    public void Silicon_alone_lifts_the_rail_and_the_resistor_brings_it_back()
    {
        var finding = Ask(("filter", 250));
        Assert.True(finding.Value("bare") > 130, $"{finding.Value("bare")}");
        var ohms = finding.Value("dropper");
        var with = Rectifying.Solve(new(RectifierCircuit.HalfWave, 117, 5 + ohms, 40e-6, 2000, 60));
        Bench.Near(120, with.Volts, 0.002, "rail");
        // Pulses heat more than the mean: I²R with the RMS, at least twice the mean's.
        Bench.Near(with.SeriesRms * with.SeriesRms * ohms, finding.Value("heat"), 0.01, "heat");
        Assert.True(finding.Value("heat") > 2 * 0.06 * 0.06 * ohms);
    }

    /// <summary>117 V + 10 %: 117·1.1·√2 = 182.0 V. A resistor drops nothing without current.</summary>
    [Fact]
    public void The_filter_must_bear_the_warm_up()
    {
        var finding = Ask(("filter", 150), ("piv", 1000), ("dropper", 200), ("watts", 50));
        Bench.Near(117 * 1.1 * Math.Sqrt(2), finding.Value("cold"), 1e-12, "cold");
        Bench.Refused(finding, "without current it drops nothing");
        Bench.Minds(Ask(("filter", 150), ("heaters", "at-once")), "never power the supply unloaded");
    }

    [Fact]
    public void A_resistor_of_a_fifth_is_refused_and_a_small_one_too()
    {
        var need = Ask(("filter", 250));
        var ohms = need.Value("dropper");
        Bench.Fits(Ask(("filter", 250), ("piv", 1000), ("dropper", ohms), ("watts", need.Value("heat") * 2.1)));
        Bench.Refused(Ask(("filter", 250), ("piv", 1000), ("dropper", ohms * 0.2), ("watts", 50)), "above 120 V");
        Bench.Refused(Ask(("filter", 250), ("piv", 1000), ("dropper", ohms), ("watts", need.Value("heat"))), "charring");
        Bench.Refused(Ask(("filter", 250), ("piv", 200), ("dropper", ohms), ("watts", 50)), "Blocking voltage");
    }

    [Fact]
    public void More_than_the_peak_cannot_be_had() => Assert.Equal(Judgement.NoAdvice, Bench.Ask("selenium", ("ac", 24), ("farads", 100), ("amps", 0.1), ("wanted", 60), ("filter", 100)).Judgement);

    [Fact]
    public void Selenium_fumes_are_named() => Bench.Minds(Ask(("filter", 250)), "poisonous");
}
