using System.Collections.Immutable;
using Bellwire.Counsel.Mends;

namespace Core.Tests.Mends;

/// <summary>Own stock first; a design rule, no outside source.</summary>
public class StockTests
{
    private static PartInStock Part(string id, int count, params (string, string)[] marks) =>
        new(id, "electrolytic", id, marks.ToImmutableDictionary(m => m.Item1, m => m.Item2), count, "drawer");

    private static readonly MendRule Rule = (MendRule)Calculation.Of("electrolytic")!;

    private static StockPick Pick(params PartInStock[] stock)
    {
        var (given, wrong) = Rule.Read(f => f switch { "marked" => "1000", "volts" => "25", "ripple" => "0.5", _ => null });
        Assert.Empty(wrong);
        return Stock.Pick(Rule, given, stock);
    }

    [Fact]
    public void The_nearest_that_fits_and_why_the_others_do_not()
    {
        (string, string)[] full = [("newtemp", "105"), ("newripple", "1"), ("newesr", "0.05")];
        var pick = Pick(
            Part("a-large", 5, [("new", "1500"), ("newvolts", "63"), .. full]),
            Part("b-right", 1, [("new", "1000"), ("newvolts", "35"), .. full]),
            Part("c-small", 9, [("new", "470"), ("newvolts", "35"), .. full]),
            Part("d-gone", 0, [("new", "1000"), ("newvolts", "25"), .. full]),
            Part("e-blank", 3),
            Part("f-smudged", 3, ("new", "??")));
        Assert.Equal("b-right", pick.Best?.Part.Id);
        Assert.Equal(["a-large"], pick.AlsoFit.Select(l => l.Part.Id));
        Assert.Equal(["c-small", "e-blank", "f-smudged"], pick.DoNotFit.Select(l => l.Part.Id));
        Assert.Contains("hum", pick.DoNotFit[0].Finding.Says);
        Assert.Contains("Nothing is known", pick.DoNotFit[1].Finding.Says);
        Assert.Contains("cannot be read", pick.DoNotFit[2].Finding.Says);
    }

    [Fact]
    public void One_with_less_to_mind_goes_before_a_nearer_one_of_unknown_ripple()
    {
        var pick = Pick(Part("a", 1, ("new", "1200"), ("newvolts", "35"), ("newtemp", "105"), ("newripple", "1"), ("newesr", "0.05")), Part("b", 1, ("new", "1000"), ("newvolts", "25"), ("newripple", "1")));
        Assert.Equal("a", pick.Best?.Part.Id);
    }

    [Fact]
    public void What_was_typed_of_another_new_part_does_not_leak_into_the_drawers()
    {
        var (given, _) = Rule.Read(f => f switch { "marked" => "1000", "volts" => "25", "ripple" => "0.5", "newripple" => "3", "newvolts" => "63", _ => null });
        var pick = Stock.Pick(Rule, given, [Part("a", 1, ("new", "1000"))]);
        Assert.Null(pick.Best); // its volts and ripple current are unknown, whatever the other part's were
    }

    [Fact]
    public void Other_kinds_are_left_alone() => Assert.Null(Pick(Part("x", 1) with { Rule = "fuse" }).Best);
}
