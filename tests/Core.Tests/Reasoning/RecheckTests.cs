using System.Collections.Immutable;
using Bellwire.Reasoning;
using Bellwire.Reasoning.Plain;

namespace Core.Tests.Reasoning;

/// <summary>Moves re-checked without lots, against the judge's definition: H(O) − mean over fault sets of H(O | fault set).</summary>
public class RecheckTests
{
    private static readonly WeighOptions Whole = new(NodeBudget: int.MaxValue, Samples: 50);

    [Fact]
    public void Rechecked_moves_agree_with_the_judge_to_1e9()
    {
        int all = 0, exact = 0, swaps = 0;
        for (var seed = 400_001; all < 120; seed++)
        {
            var c = new RandomCases(seed).Make();
            if (!PlainJudge.Judge(c, 1 << 8).Whole || Reasoner.Weigh(c, Whole) is not { Posterior: not null } w) continue;
            all++;
            var s = c.Family.Signals[seed % c.Family.Signals.Length];
            var swap = seed % 2 == 0 ? ImmutableArray<(string, string?)>.Empty : [("P" + c.Pieces[^1].Kind[1..], c.Pieces[^1].Id)];
            var table = s.States.ToImmutableDictionary(o => o, o => s.States.ToImmutableDictionary(x => x, x => x == o ? 0.9 : 0.1 / (s.States.Length - 1)));
            var move = new Move("m", "set", swap, seed % 3 == 0, Setting.Default, new Target.OfSignal(s.Id), table);
            var ours = w.Recheck([move], w.Try([move]))[0];
            var judge = PlainJudge.Try(c, move);
            foreach (var (o, p) in judge.Outcomes) Assert.Equal(p, ours.Outcomes[o], 1e-9);
            foreach (var (site, p) in judge.Kills) Assert.Equal(p, ours.Kills.Where(k => k.Key.ToString() == site).Sum(k => k.Value), 1e-9);
            if (!ours.Exact) continue;
            exact++;
            if (!swap.IsEmpty) swaps++;
            Assert.True(Math.Abs(judge.InformationBits - ours.InformationBits) < 1e-9, $"seed {seed}: {judge.InformationBits:R}, ours {ours.InformationBits:R}");
            Assert.Equal(0, ours.StandardError);
        }
        Assert.True(exact > 50 && swaps > 15, $"{exact} of {all} exact, {swaps} of them swaps");
    }

    /// <summary>A fault so rare that two thousand worlds hold none of it, and a check that does nothing but find it.</summary>
    [Fact]
    public void Finds_what_lots_miss()
    {
        SiteSpec Site(string id, double odds) => new(id, "", [new ModeSpec("open", "", odds, ImmutableDictionary<string, double>.Empty)]);
        var kind = new PieceKind("K", "", [Site("rare", 1e-5), Site("common", 0.3)]);
        var signal = new SignalSpec("S", "", ["good", "dead"], [new RuleSpec("r", new Condition.SiteIn("P", "rare", ["open"]), "dead")]);
        var family = new Family("F", [kind], [new PositionSpec("P", "", "K", false, [])], [], [], [signal], []);
        var c = new Case(family, [new PieceInstance("x", "K", null, null)],
            [new SystemInstance("set", null, ImmutableDictionary<string, string>.Empty.Add("P", "x"))], ImmutableDictionary<string, bool>.Empty, []);
        var sure = signal.States.ToImmutableDictionary(o => o, o => ImmutableDictionary<string, double>.Empty.Add(o, 1));
        var move = new Move("m", "set", [], false, Setting.Default, new Target.OfSignal("S"), sure);
        var w = Reasoner.Weigh(c);
        var lots = w.Try([move])[0];
        var exact = w.Recheck([move], [lots])[0];
        Assert.Equal(0, lots.Outcomes["dead"]);
        // Closed form: the entropy of a coin that falls so once in 100,000.
        Assert.Equal(1e-5, exact.Outcomes["dead"], 1e-15);
        Assert.Equal(-1e-5 * Math.Log2(1e-5) - (1 - 1e-5) * Math.Log2(1 - 1e-5), exact.InformationBits, 1e-12);
    }
}
