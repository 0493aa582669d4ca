using System.Collections.Immutable;
using Bellwire.Reasoning;
using Bellwire.Reasoning.Plain;

namespace Core.Tests.Reasoning;

/// <summary>Which power-up killed what. By the judge: a site that nothing mends or redraws is faulty now as often as it was at first and was
/// killed since. By hand: Bayes' rule on one board, one hazard and one look.</summary>
public class HarmTests
{
    [Fact]
    public void What_is_faulty_now_and_was_not_at_first_was_killed_at_some_power_up()
    {
        int judged = 0, struck = 0;
        for (var seed = 610_001; judged < 60; seed++)
        {
            var c = new RandomCases(seed).Make();
            if (c.Family.Hazards.IsEmpty || !c.Events.Any(e => e is CaseEvent.PowerUp)) continue;
            var judge = PlainJudge.Judge(c, 1 << 12);
            if (!judge.Whole || judge.Evidence <= 0) continue;
            judged++;
            var harms = Harm.Of(Reasoner.Weigh(c, new WeighOptions(NodeBudget: int.MaxValue, Samples: 50)), 0);
            var mended = c.Events.OfType<CaseEvent.Mend>().Select(m => m.Site.ToString()).ToHashSet();
            foreach (var (site, now) in judge.Now.Where(s => !s.Key.Contains('/') && !mended.Contains(s.Key)))
            {
                var gone = judge.Original[site].GetValueOrDefault("good") - now.GetValueOrDefault("good");
                Assert.Equal(gone, harms.Where(h => h.Site.ToString() == site).Sum(h => h.Probability), 1e-9);
                if (gone > 0.01) struck++;
            }
        }
        Assert.True(struck > 20, $"only {struck} sites were struck");
    }

    [Theory]
    [InlineData(0.9, 0.97), InlineData(0.5, 0.8), InlineData(0.05, 0.97)]
    public void A_good_board_put_on_a_rail_that_is_high_is_judged_by_what_it_showed_then(double chance, double trust)
    {
        var none = ImmutableDictionary<string, double>.Empty;
        var family = new Family("F",
            [new("S", "", [new("reg", "", [new("shorted", "", 0.02, none)])]), new("B", "", [new("chip", "", [new("dead", "", 0.1, none)])])],
            [new("supply", "", "S", false, []), new("board", "", "B", false, [])], [], [],
            [new("rail", "", ["good", "high"], [new("r", new Condition.SiteIn("supply", "reg", ["shorted"]), "high")]),
                new("life", "", ["good", "dead"], [new("r", new Condition.SiteIn("board", "chip", ["dead"]), "dead")])],
            [new("h", "", new Condition.SignalIn("rail", ["high"]), "board", "chip", "dead", chance, true)]);
        // The rail is read twice over: a look made again counts once, and must not put the power-ups after it out of step.
        CaseEvent See(string entry, string signal, string state) => new CaseEvent.Observe(entry, "set", Setting.Default, new Target.OfSignal(signal), none.Add(state, 1), signal);
        var c = new Case(family, [new("s", "S", null, null), new("b", "B", null, trust)],
            [new("set", null, ImmutableDictionary<string, string>.Empty.Add("supply", "s"))], ImmutableDictionary<string, bool>.Empty,
            [new CaseEvent.PowerUp("1", "set", Setting.Default), See("2", "rail", "high"), See("2b", "rail", "high"), new CaseEvent.Place("3", "set", "board", "b"), new CaseEvent.PowerUp("4", "set", Setting.Default), See("5", "life", "dead")]);
        var harm = Assert.Single(Harm.Of(Reasoner.Weigh(c)));
        Assert.Equal(("4", "b.chip"), (harm.Entry, harm.Site.ToString()));
        Assert.Equal(trust * chance / (trust * chance + 1 - trust), harm.Probability, 1e-9);
    }
}
