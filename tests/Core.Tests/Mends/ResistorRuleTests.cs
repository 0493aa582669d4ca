using Bellwire.Counsel.Mends;

namespace Core.Tests.Mends;

/// <summary>E24: IEC 60063; colours: IEC 60062 (from memory). Sources: reference/mends-bench.</summary>
public class ResistorRuleTests
{
    [Fact]
    public void Series_and_colours_as_published()
    {
        Assert.Equal(Bench.Values.GetProperty("series").EnumerateArray().Select(v => v.GetDouble()), Preferred.E24);
        foreach (var b in Bench.Values.GetProperty("bands").EnumerateArray()) Assert.Equal(b[2].GetString(), Preferred.Bands(b[0].GetDouble(), b[1].GetDouble()));
    }

    [Theory]
    [InlineData(4500, 4700)]
    [InlineData(5000, 4700)]
    [InlineData(0.96, 1)]
    [InlineData(9.6, 10)]
    [InlineData(95000, 100000)]
    public void The_nearest_of_twelve(double wanted, double made) => Assert.Equal(made, Preferred.Nearest(wanted, Preferred.E12), 1e-9);

    [Fact]
    public void Every_made_value_is_its_own_nearest_in_every_decade()
    {
        for (var decade = -1; decade <= 6; decade++)
            foreach (var e in Preferred.E24)
            {
                var value = e * Math.Pow(10, decade);
                Assert.Equal(1, Preferred.Nearest(value, Preferred.E24) / value, 1e-12);
                Assert.True(Preferred.AtLeast(value * 1.001, Preferred.E24) > value && Preferred.AtMost(value * 0.999, Preferred.E24) < value);
            }
    }

    /// <summary>50 mA through 470 Ω: 1.175 W, so 2.35 W or more.</summary>
    [Fact]
    public void Twice_the_heat()
    {
        var finding = Bench.Ask("resistor", ("ohms", 470), ("watts", 1), ("amps", 0.05), ("new", 470), ("newwatts", 2));
        Bench.Near(1.175, finding.Value("heat"), 1e-12, "heat");
        Bench.Refused(finding, "twice the heat");
        Bench.Minds(finding, "something draws too much");
        Bench.Fits(Bench.Ask("resistor", ("ohms", 470), ("watts", 1), ("amps", 0.05), ("new", 470), ("newwatts", 3)));
    }

    [Fact]
    public void A_fusible_one_stays_fusible() => Bench.Refused(Bench.Ask("resistor", ("ohms", "2R2"), ("kind", "fusible"), ("watts", 0.5), ("new", "2.2"), ("newwatts", 1)), "open without fire");

    [Fact]
    public void Outside_the_tolerance_is_refused() => Bench.Refused(Bench.Ask("resistor", ("ohms", "10k"), ("tolerance", 5), ("watts", 0.25), ("new", "11k"), ("newwatts", 0.5)), "tolerance");
}
