using System.Collections.Immutable;
using Bellwire.Counsel;
using Bellwire.Sheets;
using Bellwire.Workshop;
using Core.Tests.Sheets;
using Core.Tests.Workshop;

namespace Core.Tests.Counsel;

/// <summary>The suspect goes into the shop's good set rather than the good piece into the owner's, wherever that spares a piece (common practice, no source).</summary>
public class SaferOrderTests
{
    private static readonly TypeSheet Sheet = ShippedFiles.Read("corridor-nine");
    private static readonly ImmutableDictionary<string, string> None = ImmutableDictionary<string, string>.Empty;

    [Fact]
    public void On_a_rail_read_high_the_suspect_goes_into_the_mule_and_the_good_one_stays_on_the_shelf()
    {
        var (set, mule) = Swaps("high");
        Assert.True(set.LossMinutes > 10 * Math.Max(0.01, mule.LossMinutes), $"into the set {set.LossMinutes}, into the mule {mule.LossMinutes}");
        Assert.Contains("kills", set.Risk, StringComparison.Ordinal);
        Assert.True(mule.Score > set.Score, $"mule {mule.Score}, set {set.Score}");
    }

    [Fact]
    public void On_a_rail_read_good_nothing_is_at_stake_either_way()
    {
        var (set, mule) = Swaps("good");
        Assert.InRange(set.LossMinutes, 0, 2);
        Assert.InRange(mule.LossMinutes, 0, 2);
    }

    [Fact]
    public void What_each_outcome_would_change_is_told_for_swaps_too()
    {
        foreach (var move in new[] { Swaps("good").Set, Swaps("good").Mule })
        {
            Assert.Equal(1, move.Outcomes.Sum(o => o.P), 1e-6);
            Assert.Contains(move.Outcomes, o => o.Changes.Contains("Display", StringComparison.Ordinal));
        }
    }

    private static (MoveLine Set, MoveLine Mule) Swaps(string rail)
    {
        var w = new ShopWorld();
        w.Must(new JobOpened("J", new("p"), Sheet.Id, Sheet.Hash, new(Sheet.Era, Sheet.Feed, 3, 2, [])));
        foreach (var p in Sheet.Positions.Where(p => p.TravelsByPost && !p.House)) w.Must(new PieceRecorded("J-" + p.Id, p.Kind, p.Name, "owner:J", "J", Places.Bench, null, null));
        w.Must(new PieceRecorded("d9", "display", "Display 9", Party.Shop, null, Places.Shelf, null, null, KnownGood: true));
        w.Must(new PieceRecorded("d8", "display", "Display 8", Party.Shop, null, Places.Shelf, null, null, KnownGood: true));
        w.Must(new SystemSetUp("mule", null, Sheet.Id, None));
        w.Must(new SystemSetUp("S", "J", null, Sheet.Positions.Where(p => p.TravelsByPost && !p.House).ToImmutableDictionary(p => p.Id, p => "J-" + p.Id)));
        w.Must(new Powered("J", "S", "limited", null));
        w.Must(new Checked("J", "S", "rail5-volts", rail, None, None, 1));
        w.Must(new Checked("J", "S", "fn-clock", "garbled", None, None, 1));
        w.Must(new Unpowered("J", "S"));
        var moves = Counsellor.Advise(w.State, "J", Sheet, _ => null, new AdviceOptions(MovesPerBundle: 60)).Moves.SelectMany(b => b.Moves).Where(m => m.Kind == "swap" && m.Swaps[0].Position == "display").ToList();
        return (moves.First(m => m.System == "S"), moves.First(m => m.System == "mule"));
    }
}
