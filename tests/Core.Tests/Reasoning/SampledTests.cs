using System.Collections.Immutable;
using Bellwire.Reasoning;
using Bellwire.Reasoning.Plain;

namespace Core.Tests.Reasoning;

/// <summary>Figures drawn by lot, where the diagram outgrows its budget: against the judge, and against the exact engine where
/// the judge cannot run. A budget far too small makes models leave exactness that need not.</summary>
public class SampledTests
{
    private static readonly WeighOptions Whole = new(NodeBudget: int.MaxValue, Samples: 50);
    private static readonly WeighOptions Small = new(NodeBudget: 6, LossPerEntry: 1e-4, MostLost: 0);

    private static IEnumerable<(int Seed, Case Case, Posterior Drawn)> Cases(int count, int from, int size, WeighOptions options)
    {
        for (int seed = from, n = 0; n < count; seed++)
        {
            var c = new RandomCases(seed, size).Make();
            if (Reasoner.Weigh(c, options).Posterior is not { How.Drawn: not null } p) continue;
            n++;
            yield return (seed, c, p);
        }
    }

    [Fact]
    public void Agrees_with_the_judge_within_four_standard_errors()
    {
        int far = 0, all = 0;
        foreach (var (seed, c, p) in Cases(25, 300_000, 2, Small))
        {
            var judge = PlainJudge.Judge(c, 1 << 13);
            if (!judge.Whole) continue;
            foreach (var s in p.Sites)
                foreach (var (mode, x) in s.Now)
                    Count(judge.Now[s.Site.ToString()].GetValueOrDefault(mode), x, s.NowErrors[mode], $"seed {seed}: {s.Site} {mode}");
            foreach (var (cause, x) in p.Causes) Count(judge.Causes[cause], x, p.CauseErrors[cause], $"seed {seed}: {cause}");
            foreach (var f in p.MostProbable)
                Count(judge.FaultSets.GetValueOrDefault(string.Join(" ", f.Faults.Select(x => x.Site + "=" + x.Mode).Order(StringComparer.Ordinal))), f.Probability, f.StandardError, $"seed {seed}: set");
            Assert.True(Math.Abs(Math.Log(judge.Evidence) - p.LogEvidence) < 4 * p.How.Drawn!.LogEvidenceError + 0.002, $"seed {seed}: evidence");
        }
        Assert.True(all > 200);
        Assert.Equal(0, far);

        void Count(double truth, double drawn, double error, string what)
        {
            all++;
            if (Math.Abs(truth - drawn) <= 4 * error + 1e-9) return;
            far++;
            TestContext.Current.SendDiagnosticMessage($"{what}: {truth:R}, drawn {drawn:R} ± {error:R}");
        }
    }

    [Fact]
    public void Agrees_with_the_exact_engine_within_four_standard_errors()
    {
        int far = 0, all = 0;
        foreach (var (seed, c, p) in Cases(10, 310_000, 5, Small with { NodeBudget = 30 }))
        {
            var exact = Reasoner.Weigh(c, Whole).Posterior!;
            foreach (var (x, y) in exact.Sites.Zip(p.Sites))
                foreach (var (mode, truth) in x.Now)
                {
                    all++;
                    if (Math.Abs(truth - y.Now[mode]) <= 4 * y.NowErrors[mode] + 1e-9) continue;
                    far++;
                    TestContext.Current.SendDiagnosticMessage($"seed {seed}: {x.Site} {mode}: {truth:R}, drawn {y.Now[mode]:R} ± {y.NowErrors[mode]:R}");
                }
            foreach (var (x, y) in exact.Pieces.Zip(p.Pieces)) Assert.True(Math.Abs(x.Faulty - y.Faulty) <= 4 * y.StandardError + 1e-9, $"seed {seed}: {x.Piece}");
        }
        Assert.True(all > 200);
        Assert.Equal(0, far);
    }

    [Fact]
    public void Says_what_it_is_and_how_good()
    {
        var (_, c, p) = Cases(1, 320_000, 5, Small with { NodeBudget = 30 }).First();
        Assert.False(p.How.Exact);
        Assert.InRange(p.How.Drawn!.EffectiveSize, 1, p.How.Drawn.Worlds);
        Assert.Equal(p.Sites.Max(s => s.NowErrors["good"]), p.How.Drawn.WorstStandardError, 1e-12);
        Assert.Contains(p.How.Warnings, w => w.StartsWith("Sampled, ± ", StringComparison.Ordinal));
        foreach (var s in p.Sites) Assert.Equal(1, s.Now.Values.Sum(), 1e-9);
        var again = Reasoner.Weigh(c, Small with { NodeBudget = 30 }).Posterior!;
        Assert.Equal(p.Sites.Select(s => s.Faulty), again.Sites.Select(s => s.Faulty));
    }

    [Fact]
    public void Going_on_from_a_drawn_answer_changes_nothing_beyond_its_error()
    {
        foreach (var (seed, c, p) in Cases(4, 330_000, 4, Small with { NodeBudget = 20 }))
        {
            Weighing? w = null;
            for (var n = 0; n <= c.Events.Length; n++) w = Reasoner.Weigh(c with { Events = c.Events[..n] }, Small with { NodeBudget = 20 }, previous: w);
            foreach (var (x, y) in p.Sites.Zip(w!.Posterior!.Sites))
                Assert.True(Math.Abs(x.Faulty - y.Faulty) <= 4 * Math.Sqrt(Square(x) + Square(y)) + 1e-9, $"seed {seed}: {x.Site}");
        }

        static double Square(SiteBelief s) => s.NowErrors.GetValueOrDefault("good") * s.NowErrors.GetValueOrDefault("good");
    }

    [Fact]
    public void Moves_are_valued_on_worlds_of_the_right_weight()
    {
        foreach (var (seed, c, _) in Cases(4, 340_000, 2, Small))
        {
            if (!PlainJudge.Judge(c, 1 << 12).Whole) continue;
            var s = c.Family.Signals[seed % c.Family.Signals.Length];
            var table = s.States.ToImmutableDictionary(o => o, o => s.States.ToImmutableDictionary(x => x, x => x == o ? 0.9 : 0.1 / (s.States.Length - 1)));
            var move = new Move("m", "set", [], false, Setting.Default, new Target.OfSignal(s.Id), table);
            var ours = Reasoner.Weigh(c, Small with { Samples = 4000 }).Try([move])[0];
            foreach (var (o, p) in PlainJudge.Try(c, move).Outcomes) Assert.True(Math.Abs(p - ours.Outcomes[o]) < 0.04, $"seed {seed}: outcome {o}");
        }
    }

    [Fact]
    public void Can_be_cancelled()
    {
        using var stop = new CancellationTokenSource();
        stop.Cancel();
        var (_, c, _) = Cases(1, 350_000, 5, Small with { NodeBudget = 30 }).First();
        Assert.Throws<OperationCanceledException>(() => Reasoner.Weigh(c, Small with { NodeBudget = 30 }, stop.Token));
    }
}
