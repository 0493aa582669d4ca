using Bellwire.Counsel;
using MathNet.Numerics.Distributions;

namespace Core.Tests.Counsel;

/// <summary>What good sets teach, against a statistics library and a hand-worked sample.</summary>
public class NormalValueTests
{
    [Theory]
    [InlineData(1), InlineData(2), InlineData(5), InlineData(10), InlineData(30), InlineData(31), InlineData(60), InlineData(1000)]
    public void The_quantile_is_Students(int degrees) => // MathNet.Numerics 5.0.0, StudentT.InvCDF; tables print four decimals
        Assert.Equal(StudentT.InvCDF(0, 1, degrees, 0.975), NormalValue.T975(degrees), degrees == 1 ? 1e-3 : 2e-4);

    [Fact]
    public void The_interval_for_the_next_set_is_the_prediction_interval()
    {
        // Worked by hand: 16.2, 16.5, 16.8: mean 16.5, s 0.3, t(2) = 4.3027, half = 4.3027 · 0.3 · √(4/3) = 1.4905.
        var normal = NormalValue.Of([16.2, 16.5, 16.8]);
        Assert.Equal(16.5, normal.Mean, 1e-12);
        Assert.Equal(0.3, normal.Spread!.Value, 1e-12);
        Assert.Equal(15.0095, normal.Expected!.Value.Low, 1e-3);
        Assert.Equal(17.9905, normal.Expected!.Value.High, 1e-3);
        Assert.Equal(("lower than good sets read", "as good sets read", "higher than good sets read"), (normal.Word(14.9), normal.Word(15.4), normal.Word(18.1)));
    }

    [Fact]
    public void A_next_good_set_falls_inside_19_times_in_20()
    {
        // The definition of the interval, by drawing: normal sets, three known, the fourth asked (seeded; ±1 % at 20,000 draws).
        var random = new Normal(10, 1, new MathNet.Numerics.Random.MersenneTwister(7));
        var inside = 0;
        const int Draws = 20_000;
        for (var i = 0; i < Draws; i++)
        {
            var e = NormalValue.Of([random.Sample(), random.Sample(), random.Sample()]).Expected!.Value;
            var next = random.Sample();
            if (next >= e.Low && next <= e.High) inside++;
        }
        Assert.InRange(inside / (double)Draws, 0.94, 0.96);
    }

    [Fact]
    public void One_set_has_no_spread_and_nonsense_is_refused()
    {
        var one = NormalValue.Of([5.0]);
        Assert.Null(one.Expected);
        Assert.Equal("like the one good set", one.Word(5.1));
        Assert.Equal("far off the one good set", one.Word(3));
        Assert.Throws<ArgumentException>(() => NormalValue.Of([]));
        Assert.Throws<ArgumentException>(() => NormalValue.Of([5, double.NaN]));
        Assert.Throws<ArgumentOutOfRangeException>(() => one.Word(double.NaN));
        Assert.Throws<ArgumentOutOfRangeException>(() => NormalValue.T975(0));
    }
}
