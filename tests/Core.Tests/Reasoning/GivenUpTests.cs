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
}
