using System.Collections.Immutable;
using Bellwire.Workshop;

namespace Core.Tests.Workshop;

/// <summary>Ways in which a piece or a screw could slip past the carton.</summary>
public class LedgerHolesTests
{
    private static readonly ImmutableDictionary<string, string> Nothing = ImmutableDictionary<string, string>.Empty;

    [Fact]
    public void A_packed_piece_is_not_pulled_out_of_its_set()
    {
        var w = ShopWorld.WithOneJob();
        w.Must(new PackedPiece("J1", "amp1"));
        Assert.Contains("packed", w.Refused(new Pulled("J1", "amp1", "set1", "amplifier", null)).Why);
    }

    [Fact]
    public void Telling_how_it_is_wired_now_does_not_lay_a_packed_piece_on_the_bench()
    {
        var w = ShopWorld.WithOneJob();
        w.Must(new PackedPiece("J1", "amp1"));
        Assert.Contains("packed", w.Refused(new HookUpRepaired("J1", "set1", Nothing.Add("supply", "sup1"))).Why);
        w.Must(new HookUpRepaired("J1", "set1", Nothing.Add("supply", "sup1").Add("amplifier", "amp1")));
    }

    [Fact]
    public void Nothing_is_counted_into_or_out_of_a_closed_carton()
    {
        var w = ShopWorld.WithOneJob();
        w.Must(new HardwareCounted("J1", "M3 screw", 6, 6, null));
        w.Must(new PackedPiece("J1", "amp1"));
        w.Must(new PackedPiece("J1", "sup1"));
        w.Must(new PackedHardware("J1", "M3 screw", 6, null));
        w.Must(new CartonClosed("J1", null));
        Assert.Contains("closed", w.Refused(new PackedHardware("J1", "M3 screw", 0, null)).Why);
        Assert.Contains("closed", w.Refused(new HardwareCounted("J1", "M3 screw", 9, 6, null)).Why);
        Assert.Contains("closed", w.Refused(new PieceRecorded("amp9", "amplifier", "Amplifier", "owner:J1", "J1", Places.Bench, null, null)).Why);
        Assert.Empty(Reconciliation.Of(w.State, "J1").Open);
    }

    [Fact]
    public void A_lent_piece_laid_on_the_shelf_is_lent_no_longer()
    {
        var w = ShopWorld.WithOneJob();
        w.Must(new Lent("ampS", "J1"));
        w.Must(new PieceMoved("ampS", Places.Shelf));
        Assert.Null(w.State.Pieces["ampS"].LentTo);
        Assert.Empty(Reconciliation.Of(w.State, "J1").Lent);
    }

    [Fact]
    public void No_reason_closes_a_carton_over_a_piece_still_lent_to_the_job()
    {
        var w = ShopWorld.WithOneJob();
        w.Must(new Lent("ampS", "J1"));
        var no = w.Refused(new CartonClosed("J1", "in a hurry"));
        Assert.False(no.Overridable);
        Assert.Contains("ampS", Assert.Single(no.Details));
    }

    [Fact]
    public void What_was_never_sent_is_not_packed()
    {
        var w = ShopWorld.WithOneJob();
        w.Must(new PieceRecorded("run1", "run", "Run to the hall", "owner:J1", "J1", Places.House, null, null));
        Assert.Contains("house", w.Refused(new PackedPiece("J1", "run1")).Why);
    }

    [Fact]
    public void A_null_inside_a_map_is_refused_where_it_stands()
    {
        var (act, complaint) = ActKinds.ReadProposed("hook-up-repaired", """{"job":"J1","system":"set1","pieces":{"amplifier":null}}""");
        Assert.Null(act);
        Assert.Contains("pieces.amplifier", complaint);
        Assert.NotNull(ActKinds.ReadProposed("parked", """{"job":"J1","until":null,"why":"belt"}""").Act);
    }
}
