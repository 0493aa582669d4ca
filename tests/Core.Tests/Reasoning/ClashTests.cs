using System.Collections.Immutable;
using Bellwire.Reasoning;
using Bellwire.Reasoning.Clashes;
using Bellwire.Reasoning.Plain;

namespace Core.Tests.Reasoning;

/// <summary>Tapes that cannot have happened: smallest sets of entries to leave out against trying every set with the judge; the usual
/// explanations on cases whose answer is plain (common practice, no source).</summary>
public class ClashTests
{
    private static readonly WeighOptions Whole = new(NodeBudget: int.MaxValue, Samples: 50);

    /// <summary>The same case, but every look certain: the likeliest outcome alone is possible.</summary>
    private static Case Hard(Case c) => c with
    {
        Events = [.. c.Events.Select(e => e is not CaseEvent.Observe o ? e : o with
        {
            Likelihood = o.Likelihood.ToImmutableDictionary(x => x.Key, x => x.Value == o.Likelihood.Values.Max() ? 1.0 : 0),
        })],
    };

    private static Case Without(Case c, IReadOnlySet<string> entries) =>
        c with { Events = [.. c.Events.Where(e => e is not CaseEvent.Observe || !entries.Contains(e.Entry))] };

    [Fact]
    public void Smallest_sets_are_those_found_by_trying_every_set()
    {
        int clashes = 0, larger = 0;
        for (var seed = 500_001; clashes < 25; seed++)
        {
            var c = Hard(new RandomCases(seed).Make());
            var looks = c.Events.OfType<CaseEvent.Observe>().Select(e => e.Entry).Distinct().ToArray();
            var judge = PlainJudge.Judge(c, 1 << 9);
            if (!judge.Whole || judge.Evidence > 0 || looks.Length < 2) continue;
            clashes++;
            var helpful = Enumerable.Range(1, (1 << looks.Length) - 1).Select(m => looks.Where((_, i) => (m >> i & 1) == 1).Order(StringComparer.Ordinal).ToArray())
                .Where(s => PlainJudge.Judge(Without(c, s.ToHashSet()), 1 << 12).Evidence > 0).ToList();
            var least = helpful.Min(s => s.Length);
            var report = Clash.Explain(c, new ClashOptions(Limit: double.PositiveInfinity, MostLeftOut: 8), Whole);
            Assert.True(report.Whole);
            Assert.Equal(helpful.Where(s => s.Length == least).Select(s => string.Join(" ", s)).Order(StringComparer.Ordinal),
                report.Smallest.Select(s => string.Join(" ", s.Order(StringComparer.Ordinal))).Order(StringComparer.Ordinal));
            if (least > 1) larger++;
        }
        Assert.True(larger >= 1, $"only {larger} clashes wanted more than one entry left out");
    }

    private static readonly ImmutableDictionary<string, double> None = ImmutableDictionary<string, double>.Empty;

    /// <summary>A supply feeding three amplifiers behind a connector that may be redrawn; looks err once in a hundred thousand.</summary>
    /// <param name="bad">Odds of a bad contact beforehand; those of every other fault are 0.1.</param>
    private static Case Bench(double redraw, params (string Entry, string Signal, string State)[] seen) => Bench(redraw, 0.1, seen);

    private static Case Bench(double redraw, double bad, params (string Entry, string Signal, string State)[] seen)
    {
        var kind = new PieceKind("K", "", [new SiteSpec("a", "", [new ModeSpec("open", "", 0.1, None)])]);
        PositionSpec Place(string id) => id == "S" && redraw > 0
            ? new PositionSpec(id, "", "K", false, [new SiteSpec("pin", "", [new ModeSpec("open", "", bad, None)])], "pin", redraw)
            : new PositionSpec(id, "", "K", false, []);
        RuleSpec Dead(string position) => new("own", new Condition.SiteIn(position, "a", ["open"]), "dead");
        var supply = new SignalSpec("supply", "", ["good", "dead"],
            redraw > 0 ? [Dead("S"), new RuleSpec("pin", new Condition.SiteIn("S", "pin", ["open"]), "dead")] : [Dead("S")]);
        var amps = new[] { "A", "B", "C" }.Select(p => new SignalSpec(p.ToLowerInvariant(), "", ["good", "dead"],
            [Dead(p), new RuleSpec("fed", new Condition.SignalIn("supply", ["dead"]), "dead")]));
        string[] at = ["S", "A", "B", "C"];
        var family = new Family("F", [kind], [.. at.Select(Place)], [], [], [supply, .. amps], []);
        ImmutableDictionary<string, double> Table(string o) => None.Add("good", o == "good" ? 0.99999 : 0.00001).Add("dead", o == "dead" ? 0.99999 : 0.00001);
        return new Case(family, [.. at.Select(p => new PieceInstance("x" + p, "K", null, null))],
            [new SystemInstance("set", null, at.ToImmutableDictionary(p => p, p => "x" + p))], ImmutableDictionary<string, bool>.Empty,
            [.. seen.Select(s => new CaseEvent.Observe(s.Entry, "set", Setting.Default, new Target.OfSignal(s.Signal), Table(s.State)) { Outcomes = [Table("good"), Table("dead")] })]);
    }

    [Fact]
    public void One_look_against_three_is_a_slip()
    {
        var report = Clash.Explain(Bench(0, ("1", "a", "good"), ("2", "b", "good"), ("3", "supply", "dead"), ("4", "c", "good")));
        Assert.Equal("3", report.Entry);
        Assert.Equal(["3"], Assert.Single(report.Smallest));
        Assert.Equal(ClashKind.Slip, report.Explanations[0].Kind);
        Assert.Equal(1, report.Explanations.Sum(e => e.Share), 1e-9);
    }

    [Fact]
    public void All_dead_and_then_all_well_is_a_contact()
    {
        var report = Clash.Explain(Bench(0.8, ("1", "supply", "dead"), ("2", "a", "dead"), ("3", "b", "dead"), ("4", "supply", "good"), ("5", "a", "good"), ("6", "b", "good")));
        Assert.Equal("4", report.Entry);
        Assert.Equal(ClashKind.Contact, report.Explanations[0].Kind);
        Assert.Equal("S", report.Explanations[0].About);
        Assert.All(report.Smallest, s => Assert.Equal(3, s.Length));
    }

    /// <summary>Weights by hand, from what the options say: a contact that was bad and came good by itself, P = 0.03 · P(pin bad) · P(the rest sound); the supply
    /// put right and not entered, P = 0.02 · P(supply faulty, pin good) · P(the rest sound) over the suspects likelier than 1 in 50; six looks right each time.</summary>
    [Theory]
    [InlineData(0.1)]
    [InlineData(0.002)]
    [InlineData(0.0001)]
    public void A_rare_contact_is_weighed_by_its_odds(double bad)
    {
        var report = Clash.Explain(Bench(0.15, bad, ("1", "supply", "dead"), ("2", "a", "dead"), ("3", "b", "dead"), ("4", "supply", "good"), ("5", "a", "good"), ("6", "b", "good")));
        var contact = Assert.Single(report.Explanations, e => e.Kind == ClashKind.Contact);
        var forgotten = Assert.Single(report.Explanations, e => e is { Kind: ClashKind.Forgotten, About: "xS.a" });
        var suspects = bad > 0.01 ? 5 : 4;
        Assert.Equal(Math.Log(0.03 * bad * 0.9 * 0.9 * 0.9), contact.LogWeight, 1e-3);
        Assert.Equal(Math.Log(0.02 / suspects * 0.1 * (1 - bad) * 0.9 * 0.9), forgotten.LogWeight, 0.02);
    }

    [Fact]
    public void Without_a_connector_it_was_put_right_and_not_entered()
    {
        var report = Clash.Explain(Bench(0, ("1", "supply", "dead"), ("2", "a", "dead"), ("3", "b", "dead"), ("4", "supply", "good"), ("5", "a", "good"), ("6", "b", "good")));
        Assert.Equal(ClashKind.Forgotten, report.Explanations[0].Kind);
        Assert.Equal("xS.a", report.Explanations[0].About);
    }

    [Fact]
    public void A_plausible_tape_needs_no_explanation()
    {
        var report = Clash.Explain(Bench(0, ("1", "supply", "dead"), ("2", "a", "dead")));
        Assert.Null(report.Entry);
        Assert.Empty(report.Smallest);
        Assert.Empty(report.Explanations);
    }
}
