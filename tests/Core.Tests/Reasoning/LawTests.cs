using System.Collections.Immutable;
using Bellwire.Reasoning;
using Bellwire.Reasoning.Plain;

namespace Core.Tests.Reasoning;

/// <summary>Laws that hold whatever the model. The figures of moves are held against the judge's definition.</summary>
public class LawTests
{
    private static readonly WeighOptions Whole = new(NodeBudget: int.MaxValue, Samples: 50);

    private static IEnumerable<(int Seed, Case Case)> Cases(int count, int from)
    {
        for (int seed = from, n = 0; n < count; seed++)
        {
            var c = new RandomCases(seed).Make();
            if (Reasoner.Weigh(c, Whole).Posterior is null) continue;
            n++;
            yield return (seed, c);
        }
    }

    [Fact]
    public void Going_on_from_an_earlier_weighing_changes_nothing()
    {
        foreach (var (seed, c) in Cases(150, 40_000))
        {
            Weighing? w = null;
            for (var n = 0; n <= c.Events.Length; n++) w = Reasoner.Weigh(c with { Events = c.Events[..n] }, Whole, previous: w);
            Same(Reasoner.Weigh(c, Whole).Posterior!, w!.Posterior!, seed);
        }
    }

    [Fact]
    public void Striking_an_entry_out_is_a_replay_without_it()
    {
        foreach (var (seed, c) in Cases(150, 50_000))
        {
            var without = c with { Events = c.Events.RemoveAt(seed % c.Events.Length) };
            if (Reasoner.Weigh(without, Whole).Posterior is not { } fresh) continue;
            Same(fresh, Reasoner.Weigh(without, Whole, previous: Reasoner.Weigh(c, Whole)).Posterior!, seed);
        }
    }

    [Fact]
    public void Neighbouring_looks_may_change_places()
    {
        var swapped = 0;
        foreach (var (seed, c) in Cases(300, 60_000))
        {
            for (var i = 0; i + 1 < c.Events.Length; i++)
            {
                if (c.Events[i] is not CaseEvent.Observe { Repeat: null } a || c.Events[i + 1] is not CaseEvent.Observe { Repeat: null } b) continue;
                var other = c with { Events = c.Events.SetItem(i, b).SetItem(i + 1, a) };
                Same(Reasoner.Weigh(c, Whole).Posterior!, Reasoner.Weigh(other, Whole).Posterior!, seed);
                swapped++;
                break;
            }
        }
        Assert.True(swapped > 50, $"only {swapped} cases had two looks in a row");
    }

    [Fact]
    public void Decibans_add_up_to_the_posterior()
    {
        foreach (var (seed, c) in Cases(100, 70_000))
        {
            var before = Reasoner.Weigh(c with { Events = [] }, Whole).Posterior!;
            var after = Reasoner.Weigh(c, Whole).Posterior!;
            foreach (var (x, y) in before.Sites.Zip(after.Sites))
            {
                if (x.Faulty is < 1e-9 or > 1 - 1e-9 || y.Faulty is < 1e-9 or > 1 - 1e-9) continue;
                var sum = after.Entries.Sum(e => e.Decibans.GetValueOrDefault(x.Site.ToString()));
                Assert.True(Math.Abs(Odds(y.Faulty) - Odds(x.Faulty) - sum) < 1e-5, $"seed {seed}, {x.Site}");
            }
        }
    }

    [Fact]
    public void Moves_agree_with_the_judge_within_their_error()
    {
        var options = new WeighOptions(NodeBudget: int.MaxValue, Samples: 4000);
        int far = 0, all = 0;
        foreach (var (seed, c) in Cases(300, 80_000))
        {
            if (all == 60) break;
            if (!PlainJudge.Judge(c, 1 << 8).Whole) continue;
            var s = c.Family.Signals[seed % c.Family.Signals.Length];
            var swap = seed % 2 == 0 ? ImmutableArray<(string, string?)>.Empty : [("P" + c.Pieces[^1].Kind[1..], c.Pieces[^1].Id)];
            var table = s.States.ToImmutableDictionary(o => o, o => s.States.ToImmutableDictionary(x => x, x => x == o ? 0.9 : 0.1 / (s.States.Length - 1)));
            var move = new Move("m", "set", swap, seed % 3 == 0, Setting.Default, new Target.OfSignal(s.Id), table);
            var ours = Reasoner.Weigh(c, options).Try([move])[0];
            var judge = PlainJudge.Try(c, move);
            all++;
            foreach (var (o, p) in judge.Outcomes) Assert.True(Math.Abs(p - ours.Outcomes[o]) < 0.04, $"seed {seed}: outcome {o}: {p} against {ours.Outcomes[o]}");
            foreach (var (site, p) in judge.Kills)
                Assert.True(Math.Abs(p - ours.Kills.Where(k => k.Key.ToString() == site).Sum(k => k.Value)) < 0.04, $"seed {seed}: kills {site}");
            if (Math.Abs(judge.InformationBits - ours.InformationBits) > Math.Max(0.02, 3 * ours.StandardError)) far++;
        }
        Assert.Equal(60, all);
        Assert.True(far <= 2, $"{far} of {all} informations further than three standard errors");
    }

    [Fact]
    public void Clashing_entries_are_named()
    {
        var kind = new PieceKind("K", "", [new SiteSpec("a", "", [new ModeSpec("open", "", 0.1, ImmutableDictionary<string, double>.Empty)])]);
        var signal = new SignalSpec("S", "", ["good", "dead"], [new RuleSpec("r", new Condition.SiteIn("P", "a", ["open"]), "dead")]);
        var family = new Family("F", [kind], [new PositionSpec("P", "", "K", false, [])], [], [], [signal], []);
        CaseEvent See(string entry, string state) => new CaseEvent.Observe(entry, "set", Setting.Default, new Target.OfSignal("S"), ImmutableDictionary<string, double>.Empty.Add(state, 1));
        var c = new Case(family, [new PieceInstance("x", "K", null, null)],
            [new SystemInstance("set", null, ImmutableDictionary<string, string>.Empty.Add("P", "x"))], ImmutableDictionary<string, bool>.Empty,
            [See("first", "dead"), new CaseEvent.Reseat("nudge", "set", "P"), See("again", "dead"), See("last", "good")]);
        var clash = Reasoner.Weigh(c).Contradiction;
        Assert.NotNull(clash);
        Assert.Equal(2, clash.Entries.Length);
        Assert.Contains("last", clash.Entries);
    }

    /// <summary>Surprise = −ln p(o) less its expectation, so over all the outcomes a check could have, each as often as foretold, it comes
    /// to nought (from memory: the definition of entropy). A meter that errs one time in ten on a piece that is sure to be good.</summary>
    [Fact]
    public void Surprise_is_nought_on_the_average_and_counts_the_instruments_own_noise()
    {
        foreach (var (seed, c) in Cases(60, 95_000))
        {
            var s = c.Family.Signals[seed % c.Family.Signals.Length];
            var tables = s.States.Select(o => s.States.ToImmutableDictionary(x => x, x => x == o ? 0.9 : 0.1 / (s.States.Length - 1))).ToImmutableArray();
            double mean = 0, all = 0;
            foreach (var table in tables)
            {
                var look = new CaseEvent.Observe("last", "set", Setting.Default, new Target.OfSignal(s.Id), table) { Outcomes = tables };
                var last = Reasoner.Weigh(c with { Events = c.Events.Add(look) }, Whole).Posterior!.Entries[^1];
                mean += Math.Exp(last.LogPredictive) * last.Surprise;
                all += Math.Exp(last.LogPredictive);
            }
            Assert.Equal(1, all, 1e-9);
            Assert.True(Math.Abs(mean) < 1e-9, $"seed {seed}: {mean:R}");
        }
    }

    [Fact]
    public void A_case_that_names_what_is_not_there_is_refused()
    {
        var c = Cases(1, 90_000).First().Case;
        var bad = c with { Events = [new CaseEvent.Reseat("e7", "set", "nowhere")] };
        Assert.Contains("'e7' names position 'nowhere'", Assert.Throws<ArgumentException>(() => Reasoner.Weigh(bad)).Message);
    }

    private static double Odds(double p) => 10 * Math.Log10(p / (1 - p));

    private static void Same(Posterior a, Posterior b, int seed)
    {
        Assert.True(Math.Abs(a.LogEvidence - b.LogEvidence) < 1e-9, $"seed {seed}: evidence");
        foreach (var (x, y) in a.Sites.Zip(b.Sites))
            foreach (var (mode, p) in x.Now) Assert.True(Math.Abs(p - y.Now[mode]) < 1e-9, $"seed {seed}: {x.Site} {mode}");
    }
}
