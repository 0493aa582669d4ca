using System.Collections.Immutable;
using Bellwire.Counsel;
using Bellwire.Sheets;
using Bellwire.Workshop;
using Core.Tests.Sheets;
using Core.Tests.Workshop;

namespace Core.Tests.Counsel;

/// <summary>Chassis plus: rails read negative, and the same voltage means the same (common practice, no source).</summary>
public class GroundTests
{
    private static readonly TypeSheet Sheet = ShippedFiles.Read("corridor-nine");

    private static ShopWorld World(bool positive, double volts)
    {
        var w = new ShopWorld();
        w.Must(new JobOpened("J", new("p"), Sheet.Id, Sheet.Hash, new(Sheet.Era, Sheet.Feed, 3, 2, positive ? [Ground.Positive] : [])));
        w.Must(new PieceRecorded("J-supply", "supply", "Supply", "owner:J", "J", Places.Bench, null, null));
        w.Must(new SystemSetUp("S", "J", null, ImmutableDictionary<string, string>.Empty.Add("supply", "J-supply")));
        w.Must(new Powered("J", "S", "limited", null));
        w.Must(new ReadingTaken("J", "S", "raw", "volt-dc", volts, $"{volts} V", ImmutableDictionary<string, string>.Empty, 1));
        return w;
    }

    private static (string Word, double Supply) Said(bool positive, double volts)
    {
        var (w, sheet) = (World(positive, volts), Sheet);
        var advice = Counsellor.Advise(w.State, "J", sheet, _ => null);
        return (RailLadder.Of(w.State, "J", sheet).First(r => r.Point.Id == "raw").Word, advice.Suspects.FirstOrDefault(s => s.Key.Contains("supply", StringComparison.Ordinal))?.Probability ?? 0);
    }

    [Theory]
    [InlineData(17)]
    [InlineData(3)]
    public void A_negative_rail_of_a_positive_ground_set_says_what_the_positive_one_says_of_another(double volts)
    {
        var (word, supply) = Said(false, volts);
        var (otherWord, otherSupply) = Said(true, -volts);
        Assert.Equal(word, otherWord);
        Assert.Equal(supply, otherSupply, 9);
    }

    [Fact]
    public void In_an_ordinary_set_a_negative_rail_is_something_else()
    {
        Assert.NotEqual(Said(false, 18).Supply, Said(false, -18).Supply);
        Assert.True(Ground.IsPositive(World(true, -18).State, "J"));
        Assert.False(Ground.IsPositive(World(false, 18).State, "J"));
    }

    [Fact]
    public void A_set_can_turn_out_otherwise_than_told_and_the_correction_can_be_struck()
    {
        var w = World(false, 18);
        w.Must(new OutlineCorrected("J", new("tube", "transformer", 5, 2, [Ground.Positive])), "better");
        Assert.Equal(("tube", 5), (w.State.Jobs["J"].Outline.Era, w.State.Jobs["J"].Outline.Rooms));
        Assert.True(Ground.IsPositive(w.State, "J"));
        Assert.Contains("Rooms", w.Refused(new OutlineCorrected("J", new("tube", "transformer", 500, 2, []))).Why, StringComparison.Ordinal);
        w.Must(new Struck("better", "told wrongly"));
        Assert.Equal(Sheet.Era, w.State.Jobs["J"].Outline.Era);
    }

    [Fact]
    public void Gates_and_proof_take_the_negative_rail_by_its_size()
    {
        // 5 V and 12 V rails within the family's limits; what stands in the way of a good supply's neighbour is the same set, read the other way round.
        static (int Open, bool? Within) Left(bool positive)
        {
            var w = World(positive, positive ? -17 : 17);
            double Sign(double v) => positive ? -v : v;
            foreach (var (point, volts) in new[] { ("rail-12", 12.0), ("rail-5", 5.0) }) w.Must(new ReadingTaken("J", "S", point, "volt-dc", Sign(volts), "", ImmutableDictionary<string, string>.Empty, 1));
            w.Must(new Proved("J", "twelve", "shown", Sign(12), "V", "bench"));
            return (GateKeeper.Lines(w.State, "J", Sheet).Count(g => !g.Passed), ProofPlan.Of(w.State, "J", Sheet).Lines.First(l => l.Step.Id == "twelve").Within);
        }
        var (ordinary, positive) = (Left(false), Left(true));
        Assert.Equal(ordinary, positive);
        Assert.True(positive.Within);
        var shown = new Proved("J", "twelve", "shown", -12, "V", "bench");
        Assert.Null(ProofPlan.Complaint(Sheet, shown, positiveGround: true));
        Assert.NotNull(ProofPlan.Complaint(Sheet, shown));
    }
}
