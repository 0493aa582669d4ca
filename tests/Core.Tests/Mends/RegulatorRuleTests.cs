using Bellwire.Counsel.Mends;

namespace Core.Tests.Mends;

/// <summary>Worked figures from data sheets of the 78xx kind: reference/mends-bench.</summary>
public class RegulatorRuleTests
{
    [Fact]
    public void Heat_as_worked()
    {
        foreach (var c in Bench.Values.GetProperty("regulator").EnumerateArray())
        {
            var finding = Bench.Ask("regulator", ("out", c.N("out")), ("in", c.N("in")), ("amps", c.N("amps")), ("air", c.N("air")), ("bare", c.N("bare")));
            Bench.Near(c.N("watts"), finding.Value("watts"), 1e-9, c.S("say"));
            Bench.Near(c.N("junction"), finding.Value("bare"), 0.001, c.S("say"));
            Bench.Minds(finding, "Not without a heatsink");
        }
        // 5 W, 40 °C, 125 °C, 5 + 0.5 °C/W: 11.5 °C/W.
        var s = Bench.Values.GetProperty("sink");
        Bench.Near(s.N("sink"), Bench.Ask("regulator", ("out", 5), ("in", 15), ("amps", 0.5), ("idle", 0), ("air", s.N("air")), ("case", s.N("case"))).Value("sink"), 1e-9, "sink");
    }

    private static Finding Ask(params (string, object)[] more) => Bench.Ask("regulator", [("out", 12), ("in", 17), ("ripple", 0.8), ("low", 5), ("amps", 0.3), ("sink", 15), .. more]);

    [Fact]
    public void The_trough_at_low_line_must_clear_the_drop_out()
    {
        var finding = Bench.Ask("regulator", ("out", 12), ("in", 15.4), ("ripple", 3.9), ("amps", 0.3));
        Bench.Near(15.4 * 0.9 - 1.95, finding.Value("trough"), 1e-12, "trough");
        Bench.Refused(finding, "hum breaks through");
    }

    [Fact]
    public void The_right_one_fits_and_others_do_not()
    {
        Bench.Fits(Ask(("newout", 12), ("newsign", "positive"), ("newamps", 1)));
        Bench.Refused(Ask(("newout", 12), ("newsign", "negative"), ("newamps", 1)), "negative rail");
        Bench.Refused(Ask(("newout", 12), ("newamps", 1)), "positive or a negative rail is not known");
        Bench.Refused(Ask(("newout", 15), ("newsign", "positive"), ("newamps", 1)), "is not the rail’s");
        Bench.Refused(Ask(("newout", 12), ("newsign", "positive"), ("newamps", 0.1)), "to spare");
        Bench.Refused(Bench.Ask("regulator", ("out", 12), ("in", 34), ("amps", 0.05), ("newout", 12), ("newsign", "positive"), ("newamps", 1)), "than its input bears");
    }

    [Fact]
    public void A_small_heatsink_is_refused() => Bench.Refused(Bench.Ask("regulator", ("out", 5), ("in", 17), ("amps", 0.6), ("sink", 30)), "On this heatsink");
}
