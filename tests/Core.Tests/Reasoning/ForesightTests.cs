using System.Collections.Immutable;
using Bellwire.Reasoning;
using Bellwire.Reasoning.Plain;

namespace Core.Tests.Reasoning;

/// <summary>What moves would show now, and after a mend, against the judge that acts every world out.</summary>
public class ForesightTests
{
    [Fact]
    public void What_is_foreseen_now_and_after_a_mend_is_what_the_judge_finds()
    {
        var (all, far, worst) = (0, 0, 0.0);
        for (var seed = 61_000; all < 120; seed++)
        {
            var c = new RandomCases(seed).Make();
            var weighing = Reasoner.Weigh(c, new WeighOptions(Samples: 4000, LossPerEntry: 0));
            if (weighing.Posterior is not { } belief || PlainJudge.Judge(c, 5000) is not { Whole: true }) continue;
            var signal = c.Family.Signals[seed % c.Family.Signals.Length];
            var table = signal.States.ToImmutableDictionary(o => o, o => signal.States.ToImmutableDictionary(x => x, x => x == o ? 0.9 : 0.1 / (signal.States.Length - 1)));
            var move = new Move("m", "set", [], false, Setting.Default, new Target.OfSignal(signal.Id), table);
            // Half of the sites apart, half together.
            var sites = belief.Sites.Select(s => s.Site).Where((_, i) => i % 2 == 0).ToList();
            var seen = Foresight.Of(weighing, sites, [.. belief.Sites.Select(s => s.Site).Except(sites)], [move], 500)!;
            Assert.Equal(1, seen.States.Sum(s => s.Chance), 1e-9);
            Assert.Equal(1, seen.Covered, 1e-9);
            var shows = Assert.Single(seen.Moves);
            Near(c, s => s);
            foreach (var (site, number) in sites.Select((s, i) => (s, i)).Where(x => belief.Sites.Single(b => b.Site.Equals(x.s)).Faulty > 0.1))
                Near(c with { Events = c.Events.Add(new CaseEvent.Mend("mended", site, 1)) }, s => s with { Faults = [.. s.Faults.Where(f => f.Site != number)] });

            void Near(Case then, Func<ForeseenState, ForeseenState> leads)
            {
                var numbers = seen.States.Select((s, i) => (Key(s), i)).ToDictionary(x => x.Item1, x => x.i);
                var judge = PlainJudge.Try(then, move);
                all++;
                var off = shows.Outcomes.Select((o, i) => Math.Abs(judge.Outcomes[o] - seen.States.Sum(s => s.Chance * shows.Chances[numbers[Key(leads(s))]][i]))).Max();
                worst = Math.Max(worst, off);
                if (off > 0.03) far++;
            }
        }
        TestContext.Current.SendDiagnosticMessage($"{far} of {all} further than 0.03, worst {worst:0.000}");
        // Four thousand draws err by 0.008; what a mended state shows is taken from worlds that had it from the start where there are some.
        Assert.True(far <= all / 20, $"{far} of {all} further than 0.03, worst {worst:0.000}");
    }

    private static string Key(ForeseenState s) => string.Join(",", s.Faults) + s.Others;
}
