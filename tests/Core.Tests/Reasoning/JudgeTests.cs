using Bellwire.Reasoning;
using Bellwire.Reasoning.Plain;

namespace Core.Tests.Reasoning;

/// <summary>Engine against judge. The judge enumerates explicit worlds and shares no evaluator with the engine.</summary>
public class JudgeTests
{
    private static readonly WeighOptions Whole = new(NodeBudget: int.MaxValue, Samples: 50);
    private static bool Deep => Environment.GetEnvironmentVariable("BELLWIRE_DEEP") == "1";

    [Theory]
    [InlineData(0)]
    [InlineData(1)]
    [InlineData(2)]
    [InlineData(3)]
    public void Random_models_agree_to_1e9(int part)
    {
        int judged = 0, seed = part * 1_000_000;
        var worst = 0.0;
        var sizes = new int[13];
        while (judged < 500)
        {
            var c = new RandomCases(++seed).Make();
            // Models far too large are passed over by their size alone, before anything is weighed.
            if (PlainJudge.Size(c, 12, (ulong)seed) > 1 << 13) continue;
            var judge = PlainJudge.Judge(c, worlds: 1 << 12);
            if (!judge.Whole) continue;
            judged++;
            sizes[(int)Math.Log2(judge.Worlds)]++;
            worst = Math.Max(worst, Compare(c, judge, "seed " + seed));
        }
        Assert.True(worst < 1e-9, $"worst difference {worst:e2}");
        for (var k = 6; k < 12; k++) Assert.True(sizes[k] >= 25, $"only {sizes[k]} models of 2^{k} to 2^{k + 1} worlds");
    }

    [Fact]
    public void Large_models_agree_to_1e9()
    {
        if (!Deep) Assert.Skip("only with BELLWIRE_DEEP=1");
        int judged = 0, seed = 9_000_000;
        while (judged < 20)
        {
            var c = new RandomCases(++seed, 3).Make();
            if (PlainJudge.Size(c, 40, (ulong)seed) is < 1 << 15 or > 1 << 21 || PlainJudge.Judge(c, 1 << 16).Whole) continue;
            var judge = PlainJudge.Judge(c, 1 << 20);
            if (!judge.Whole) continue;
            judged++;
            Compare(c, judge, "seed " + seed);
        }
    }

    private static double Compare(Case c, PlainAnswer judge, string what)
    {
        var w = Reasoner.Weigh(c, Whole);
        if (w.Posterior is not { } p)
        {
            Assert.True(judge.Evidence <= 0, what + ": engine sees a contradiction, the judge does not");
            return 0;
        }
        Assert.True(p.How.Exact, what);
        var worst = 0.0;
        Near(Math.Log(judge.Evidence), p.LogEvidence, "log evidence");
        foreach (var s in p.Sites)
        {
            foreach (var (mode, x) in s.Now) Near(judge.Now[s.Site.ToString()].GetValueOrDefault(mode), x, $"{s.Site} {mode}");
            foreach (var (mode, x) in s.Original) Near(judge.Original[s.Site.ToString()].GetValueOrDefault(mode), x, $"{s.Site} was {mode}");
        }
        foreach (var (cause, x) in p.Causes) Near(judge.Causes[cause], x, cause);
        Near(judge.FaultSets.GetValueOrDefault(""), p.NothingWrong, "nothing wrong");
        foreach (var f in p.MostProbable)
        {
            var name = string.Join(" ", f.Faults.Select(x => x.Site + "=" + x.Mode).Order(StringComparer.Ordinal));
            Near(judge.FaultSets.GetValueOrDefault(name), f.Probability, "set " + name);
        }
        foreach (var x in p.Pieces)
            Near(judge.FaultSets.Where(s => (" " + s.Key).Contains(" " + x.Piece + ".")).Sum(s => s.Value), x.Faulty, "piece " + x.Piece);
        Near(Math.Log(judge.Evidence), p.Entries.Sum(e => e.LogPredictive), "chain rule");
        return worst;

        void Near(double expected, double actual, string of)
        {
            var d = Math.Abs(expected - actual);
            worst = Math.Max(worst, d);
            Assert.True(d < 1e-9, $"{what}: {of}: judge {expected:R}, engine {actual:R}");
        }
    }
}
