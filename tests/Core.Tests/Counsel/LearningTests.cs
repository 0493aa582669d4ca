using System.Collections.Immutable;
using Bellwire.Counsel;

namespace Core.Tests.Counsel;

/// <summary>EM against the closed form where everything is seen, and against enumeration over a fine grid where it is not.</summary>
public class LearningTests
{
    /// <summary>Dirichlet prior, categorical counts: the mode of the posterior is (strength·p + n) / (strength + N) (Gelman et al., Bayesian Data Analysis, ch. 3; from memory).</summary>
    [Theory]
    [InlineData(20, 3, 7, 90)]
    [InlineData(5, 0, 0, 4)]
    [InlineData(100, 1, 0, 1)]
    public void Seen_faults_give_the_closed_form_in_one_round(double strength, double dry, double shorted, double good)
    {
        ImmutableArray<double> prior = [0.9, 0.08, 0.02];
        var (odds, rounds, _) = Em.Fit([prior], strength, _ => [[good, dry, shorted]]);
        var n = strength + good + dry + shorted;
        Assert.Equal((strength * 0.9 + good) / n, odds[0][0], 1e-12);
        Assert.Equal((strength * 0.08 + dry) / n, odds[0][1], 1e-12);
        Assert.Equal((strength * 0.02 + shorted) / n, odds[0][2], 1e-12);
        Assert.Equal(2, rounds);
    }

    /// <summary>Two sites in a row, only "dead or alive" seen: k of n dead. The optimum is found by walking a fine grid.</summary>
    [Theory]
    [InlineData(10, 10, 4)]
    [InlineData(30, 5, 25)]
    [InlineData(8, 2, 0)]
    public void Hidden_faults_come_to_the_optimum_that_enumeration_finds(int n, double strength, int dead)
    {
        double a0 = 0.1, b0 = 0.3;
        var (odds, _, change) = Em.Fit([[1 - a0, a0], [1 - b0, b0]], strength, now =>
        {
            double a = now[0][1], b = now[1][1], any = 1 - (1 - a) * (1 - b);
            return [[n - dead * a / any, dead * a / any], [n - dead * b / any, dead * b / any]];
        }, 5000, 1e-13);
        Assert.True(change < 1e-12);
        double Height(double a, double b) => (dead > 0 ? dead * Math.Log(1 - (1 - a) * (1 - b)) : 0) + (n - dead) * Math.Log((1 - a) * (1 - b))
            + strength * (a0 * Math.Log(a) + (1 - a0) * Math.Log(1 - a) + b0 * Math.Log(b) + (1 - b0) * Math.Log(1 - b));
        double bestA = 0, bestB = 0, best = double.NegativeInfinity;
        for (var i = 1; i < 1000; i++)
            for (var j = 1; j < 1000; j++)
                if (Height(i / 1000.0, j / 1000.0) is var h && h > best) (best, bestA, bestB) = (h, i / 1000.0, j / 1000.0);
        Assert.Equal(bestA, odds[0][1], 1.5e-3);
        Assert.Equal(bestB, odds[1][1], 1.5e-3);
        Assert.True(Height(odds[0][1], odds[1][1]) >= best - 1e-9);
    }
}
