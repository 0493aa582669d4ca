using System.Collections.Immutable;
using Bellwire.Reasoning;

namespace Core.Tests.Reasoning;

/// <summary>Where a walk through diagram and function has no room, figures are shares of drawn worlds: near the exact ones within the error they name, said to be so, and nothing breaks off.</summary>
public class WalkLimitTests
{
    private const int Samples = 4000;

    [Fact]
    public void Figures_too_large_to_be_walked_are_shares_of_drawn_worlds_and_say_so()
    {
        int compared = 0, off = 0, harmed = 0;
        for (var seed = 620_001; seed < 620_061; seed++)
        {
            var c = new RandomCases(seed).Make();
            var exact = Reasoner.Weigh(c, new WeighOptions(NodeBudget: int.MaxValue, Samples: 50));
            if (exact.Posterior is not { } sure) continue;
            var near = Reasoner.Weigh(c, new WeighOptions(NodeBudget: int.MaxValue, Samples: Samples, WalkNumbers: 40));
            var rough = near.Posterior ?? throw new InvalidOperationException($"seed {seed}: {near.Contradiction}");
            // Drawn by lot, nothing is said of what was hurt.
            var harms = Harm.Of(near, 0).ToDictionary(h => (h.Site, h.Entry), h => h.Probability);
            if (rough.How.Drawn is null) foreach (var h in Harm.Of(exact, 0)) Compare(h.Probability, harms.GetValueOrDefault((h.Site, h.Entry)), ref harmed);
            else Assert.Empty(harms);
            if (rough.How.Warnings.All(w => !w.Contains("too large to be walked", StringComparison.Ordinal))) continue;
            Assert.False(rough.How.Exact);
            foreach (var (a, b) in sure.Sites.Zip(rough.Sites)) Compare(a.Faulty, b.Faulty, ref compared);
            foreach (var (a, b) in sure.Pieces.Zip(rough.Pieces)) Compare(a.Faulty, b.Faulty, ref compared);
            // Sums of money ask for several sites at once; where worlds were drawn, those worlds answer and not the diagram they were drawn from.
            (SiteRef, ImmutableHashSet<string>)[] any = [.. sure.Sites.Take(4).Select(x => (x.Site, x.Now.Keys.Where(m => m != "good").ToImmutableHashSet()))];
            var p = Exactly.AnyOf(exact, any);
            Compare(p, Exactly.AnyOf(near, any), ref compared);
            Compare(p, Exactly.Draw(near, Samples, 5).Where(d => d.Faults.Any(f => any.Any(x => x.Item1.Equals(f.Site)))).Sum(d => d.Probability), ref compared);

            // Four standard errors, of the share or as named where the whole was drawn: a few in a hundred thousand lie beyond (from memory: the normal law).
            void Compare(double p, double share, ref int count)
            {
                count++;
                var error = Math.Max(rough.How.Drawn?.WorstStandardError ?? 0, Math.Sqrt(Math.Max(p * (1 - p), 1.0 / Samples) / Samples));
                if (Math.Abs(p - share) > 4 * error) off++;
            }
        }
        Assert.True(compared > 100 && harmed > 10, $"{compared} figures and {harmed} harms compared");
        Assert.Equal(0, off);
    }
}
