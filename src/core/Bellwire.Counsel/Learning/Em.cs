using System.Collections.Immutable;

namespace Bellwire.Counsel;

/// <summary>Expectation–maximisation for the odds of sites that share nothing but the tapes they were seen on
/// (Dempster, Laird, Rubin 1977; from memory). Each site has states, the first good; its odds have a Dirichlet prior.</summary>
public static class Em
{
    /// <param name="prior">For each site its odds before, adding up to 1; at least two states.</param>
    /// <param name="strength">How many sets seen the prior is worth, above 0: the Dirichlet's parameters are strength × prior, plus 1.</param>
    /// <param name="expect">Odds → how often each state is expected in what was seen (the E-step); counts 0 or more.</param>
    /// <param name="rounds">At most that many; <paramref name="tolerance"/>: largest change of any odds at which it rests.</param>
    /// <returns>Odds at the rest, how many rounds, and the last change.</returns>
    public static (ImmutableArray<ImmutableArray<double>> Odds, int Rounds, double Change) Fit(
        ImmutableArray<ImmutableArray<double>> prior, double strength,
        Func<ImmutableArray<ImmutableArray<double>>, IReadOnlyList<IReadOnlyList<double>>> expect, int rounds = 200, double tolerance = 1e-10)
    {
        if (!(strength > 0)) throw new ArgumentOutOfRangeException(nameof(strength), strength, "The prior is worth more than no set.");
        ArgumentNullException.ThrowIfNull(expect);
        var odds = prior;
        for (var round = 1; ; round++)
        {
            var counts = expect(odds);
            ImmutableArray<ImmutableArray<double>> next = [.. prior.Select((p, s) =>
            {
                var total = strength + counts[s].Sum();
                return p.Select((q, i) => (strength * q + counts[s][i]) / total).ToImmutableArray();
            })];
            var change = odds.Zip(next).SelectMany(x => x.First.Zip(x.Second, (a, b) => Math.Abs(a - b))).DefaultIfEmpty().Max();
            odds = next;
            if (change < tolerance || round >= rounds) return (odds, round, change);
        }
    }
}
