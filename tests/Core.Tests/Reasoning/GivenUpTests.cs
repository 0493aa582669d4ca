using System.Collections.Immutable;
using Bellwire.Reasoning;

namespace Core.Tests.Reasoning;

/// <summary>A look over a square of parts, "some row is sound and some column is sound", needs a diagram that grows about as 2^side whatever the order of
/// its variables (common practice, no source): the side decides whether it can be reckoned.</summary>
public class GivenUpTests
{
    private static (Case Case, Move Move) Square(int side)
    {
        var none = ImmutableDictionary<string, double>.Empty;
        var all = Enumerable.Range(0, side * side).ToList();
        Condition Line(Func<int, bool> of) => new Condition.All([.. all.Where(of).Select(i => new Condition.SiteIn($"P{i}", "a", ["good"]))]);
        var lines = Enumerable.Range(0, side);
        var sound = new Condition.All([new Condition.Any([.. lines.Select(r => Line(i => i / side == r))]), new Condition.Any([.. lines.Select(c => Line(i => i % side == c))])]);
        var signal = new SignalSpec("square", "", ["dead", "good"], [new RuleSpec("sound", sound, "good")]);
        var family = new Family("F", [new PieceKind("K", "", [new SiteSpec("a", "", [new ModeSpec("open", "", 0.1, none)])])], [.. all.Select(i => new PositionSpec($"P{i}", "", "K", false, []))], [], [], [signal], []);
        var c = new Case(family, [.. all.Select(i => new PieceInstance($"x{i}", "K", null, null))],
            [new SystemInstance("set", null, all.ToImmutableDictionary(i => $"P{i}", i => $"x{i}"))], ImmutableDictionary<string, bool>.Empty, []);
        return (c, new Move("m", "set", [], false, Setting.Default, new Target.OfSignal("square"), signal.States.ToImmutableDictionary(o => o, o => none.Add(o, 1))));
    }

    [Fact]
    public void A_look_too_large_to_reckon_says_so()
    {
        var (small, move) = Square(3);
        var value = Reasoner.Weigh(small).Try([move])[0];
        Assert.False(value.GivenUp);
        Assert.Equal(1, value.Outcomes.Values.Sum(), 1e-9);

        var (large, same) = Square(18);
        var given = Reasoner.Weigh(large, new WeighOptions(Samples: 50)).Try([same])[0];
        Assert.True(given.GivenUp);
        Assert.Empty(given.Outcomes);
    }

    [Fact]
    public void A_look_that_no_diagram_holds_is_weighed_on_drawn_worlds()
    {
        const int side = 11;
        var (c, _) = Square(side);
        var table = ImmutableDictionary<string, double>.Empty.Add("dead", 0.9).Add("good", 0.1);
        var seen = c with { Events = [new CaseEvent.Observe("e1", "set", Setting.Default, new Target.OfSignal("square"), table)] };
        var answer = Reasoner.Weigh(seen, new WeighOptions(NodeBudget: 100)).Posterior!;
        Assert.Equal("drawn by lot from a blurred evidence diagram", answer.How.Method);

        // The same by counting squares of a generator of its own, 0.1 a part.
        var chance = new Random(11);
        var (weight, bad) = (0.0, new double[side * side]);
        for (var n = 0; n < 200_000; n++)
        {
            var faulty = bad.Select(_ => chance.NextDouble() < 0.1).ToArray();
            var good = Enumerable.Range(0, side).Any(r => !faulty.Skip(r * side).Take(side).Any(x => x)) && Enumerable.Range(0, side).Any(k => !Enumerable.Range(0, side).Any(r => faulty[r * side + k]));
            var w = good ? 0.1 : 0.9;
            weight += w;
            for (var i = 0; i < bad.Length; i++) if (faulty[i]) bad[i] += w;
        }
        Assert.InRange(answer.LogEvidence, Math.Log(weight / 200_000) - 4 * answer.How.Drawn!.LogEvidenceError - 0.01, Math.Log(weight / 200_000) + 4 * answer.How.Drawn.LogEvidenceError + 0.01);
        Assert.All(answer.Sites, (s, i) => Assert.InRange(s.Faulty, bad[i] / weight - 4 * s.NowErrors["good"] - 0.003, bad[i] / weight + 4 * s.NowErrors["good"] + 0.003));
    }
}
