namespace Core.Tests.Mends;

/// <summary>Common practice, no source; the corner 1/(2πRC) in closed form.</summary>
public class FilmRuleTests
{
    [Fact]
    public void Film_for_paper_on_a_grid()
    {
        var finding = Bench.Ask("film", ("marked", "0.02"), ("volts", 400), ("warmup", 380), ("into", "470k"), ("kind", "polyester"), ("new", "0.022"), ("newvolts", 630));
        Bench.Fits(finding);
        Bench.Near(1 / (2 * Math.PI * 470e3 * 0.02e-6), finding.Value("corner"), 1e-12, "corner");
    }

    [Fact]
    public void The_warm_up_voltage_counts() => Bench.Refused(Bench.Ask("film", ("marked", "0.02"), ("volts", 200), ("warmup", 380), ("kind", "polyester"), ("new", "0.022"), ("newvolts", 250)), "whole B+ stands across it");

    [Theory]
    [InlineData("coupling", "x7r", "distortion")]
    [InlineData("tuned", "polyester", "drifts with heat")]
    [InlineData("tuned", "", "not known")]
    public void The_wrong_stuff_is_refused(string role, string kind, string because) => Bench.Refused(Bench.Ask("film", ("role", role), ("marked", "100 pF"), ("volts", 100), ("kind", kind), ("new", "100 pF"), ("newvolts", 100)), because);

    [Fact]
    public void A_tuned_circuit_takes_two_percent()
    {
        Bench.Fits(Bench.Ask("film", ("role", "tuned"), ("marked", "100 pF"), ("volts", 100), ("kind", "c0g"), ("new", "101 pF"), ("newvolts", 100)));
        Bench.Refused(Bench.Ask("film", ("role", "tuned"), ("marked", "100 pF"), ("volts", 100), ("kind", "c0g"), ("new", "110 pF"), ("newvolts", 100)), "frequency would move");
    }
}
