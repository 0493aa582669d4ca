using System.Collections.Immutable;
using Bellwire.Counsel;
using Bellwire.Counsel.Mends;
using Bellwire.Sheets;
using Bellwire.Workshop;
using Core.Tests.Sheets;
using Core.Tests.Workshop;

namespace Core.Tests.Counsel;

/// <summary>Tapes in the order life writes them: told late, tried elsewhere first, taken off the bench for good. What is said of them stays true (all common practice, no source).</summary>
public class TapesAsTheyComeTests
{
    private static readonly TypeSheet Sheet = ShippedFiles.Read("corridor-nine");
    private static readonly ImmutableDictionary<string, string> None = ImmutableDictionary<string, string>.Empty;

    private static ShopWorld Benched() => BenchedSet.Of(Sheet, "limited", []);
    private static Checked Saw(string check, string outcome) => BenchedSet.Saw(Sheet, check, outcome);
    private static Advice Advise(ShopWorld w) => BenchedSet.Advise(w, Sheet);

    private static Advice After(params Act[] acts) => BenchedSet.After(Sheet, acts);

    private static double Tuner(Advice a) => a.Suspects.Where(s => s.Key.Contains("tuner", StringComparison.Ordinal)).Sum(s => s.Probability);

    [Fact]
    public void What_the_owner_tells_is_of_the_set_at_home_whenever_it_is_told()
    {
        Act told = new OwnerTold("J", "fn-fm", "dead", null), mend = new Mended("J", "J-tuner", null, null, "front", "mended", 0.95, 20);
        var before = Tuner(After(told, mend));
        Assert.Equal(before, Tuner(After(mend, told)), 1e-9);
        Assert.NotEqual(before, Tuner(After(mend)), 1e-3);
    }

    [Fact]
    public void A_piece_tried_in_the_shops_own_set_first_is_at_home_in_the_set_all_the_same()
    {
        var w = new ShopWorld();
        w.Must(new JobOpened("J", new("p"), Sheet.Id, Sheet.Hash, new(Sheet.Era, Sheet.Feed, 3, 2, [])));
        var travels = Sheet.Positions.Where(p => p.TravelsByPost && !p.House).ToList();
        foreach (var p in travels) w.Must(new PieceRecorded("J-" + p.Id, p.Kind, p.Name, "owner:J", "J", Places.Bench, null, null));
        w.Must(new SystemSetUp("mule", null, Sheet.Id, None));
        w.Must(new Fitted("J", "J-tuner", "mule", "tuner"));
        w.Must(new Pulled("J", "J-tuner", "mule", "tuner", Places.Bench));
        w.Must(new SystemSetUp("S", "J", null, travels.ToImmutableDictionary(p => p.Id, p => "J-" + p.Id)));
        w.Must(Saw("fn-fm", "dead"));
        Assert.Contains(Advise(w).Drawing, d => d.Position == "tuner" && d.Piece == "J-tuner");
    }

    [Fact]
    public void What_is_scrapped_is_not_offered_to_be_mended()
    {
        Act[] worn = [Saw("fn-keys", "some-dead"), Saw("ohms-keys", "worn")];
        Act[] pulled = [.. worn, new Unpowered("J", "S"), new Pulled("J", "J-keypad", "S", "keypad", Places.Bench)];
        static bool Offered(Advice a) => a.Moves.Where(b => b.Id == "mend").SelectMany(b => b.Moves).Any(m => m.Id.Contains("J-keypad", StringComparison.Ordinal));
        Assert.True(Offered(After(worn)));
        var w = Benched();
        foreach (var a in pulled) w.Must(a);
        Assert.True(Offered(Advise(w)));
        w.Must(new OwnerWord("J", "the old keypad", true, "telephone", null, null, null), "yes");
        w.Must(new OwnershipMoved("J-keypad", "owner:J", "scrap", "yes"));
        Assert.False(Offered(Advise(w)));
        Assert.DoesNotContain(SureMends.Of(w.State, Sheet, Counsellor.Weigh(w.State, "J", Sheet), Advise(w).Moves.SelectMany(b => b.Moves)), m => m.Piece == "J-keypad");
    }

    [Fact]
    public void The_proof_and_a_sweep_say_of_a_rail_what_a_reading_says()
    {
        var rail = KillingRail.Of(Sheet).Single(r => r.Signal == "rail5");
        bool? Says(Act act) => rail.Says(act, Sheet, "S", false);
        Act Step(string outcome, double value) => new Proved("J", Sheet.Proof.First(s => s.Point == "rail-5").Id, outcome, value, "V", null);
        Assert.True(Says(Step("shown", 5.01)));
        Assert.False(Says(Step("failed", 7.1)));
        Assert.False(rail.Says(Step("shown", -5.01), Sheet, "S", false));
        Assert.True(rail.Says(Step("shown", -5.01), Sheet, "S", true));
        Assert.True(Says(new GridChecked("J", "S", None.Add("rail5-volts", "good"), None, 1)));
        Assert.False(Says(new GridChecked("J", "S", None.Add("rail5-volts", "dead"), None, 1)));
        Assert.Null(Says(new GridChecked("J", "mule", None.Add("rail5-volts", "dead"), None, 1)));
        Assert.Null(Says(Saw("fn-clock", "good")));
    }

    [Fact]
    public void A_rail_shown_good_by_the_proof_lies_no_longer_bare()
    {
        var w = Benched();
        Act[] acts = [new Unpowered("J", "S"), new Mended("J", "J-fuse", null, null, "link", "new fuse", 0.8, 3)];
        foreach (var a in acts) w.Must(a);
        bool Barred() => GateKeeper.Check(w.State, "J", Sheet, new Powered("J", "S", "limited", null)).Bars.Any(b => b.Gate == "rail-rail5");
        Assert.True(Barred());
        w.Must(new Powered("J", "S", "limited", null));
        w.Must(new Proved("J", Sheet.Proof.First(s => s.Point == "rail-5").Id, "shown", 5.01, "V", null));
        Assert.False(Barred());
    }

    [Fact]
    public void Swaps_after_a_failed_proof_are_tried_with_what_failed()
    {
        var w = Benched();
        w.Must(new PieceRecorded("c9", "chime", "Chime 9", Party.Shop, null, Places.Shelf, null, null, KnownGood: true));
        foreach (var step in Sheet.Proof.Where(s => s.Check is "fn-chime-1" or "fn-chime-2")) w.Must(new Proved("J", step.Id, "failed", null, null, null));
        var swaps = Counsellor.Advise(w.State, "J", Sheet, _ => null, new AdviceOptions(MovesPerBundle: 60)).Moves.SelectMany(b => b.Moves).Where(m => m.Kind is "swap" or "reseat").ToList();
        Assert.NotEmpty(swaps);
        Assert.All(swaps, m => Assert.StartsWith("fn-chime", m.Check, StringComparison.Ordinal));
    }

    [Fact]
    public void What_is_kept_for_another_job_is_not_offered()
    {
        var w = Benched();
        w.Must(new PieceRecorded("d9", "display", "Display 9", Party.Shop, null, Places.Shelf, null, null, KnownGood: true));
        w.Must(Saw("fn-clock", "garbled"));
        bool Offered() => Counsellor.Advise(w.State, "J", Sheet, _ => null, new AdviceOptions(MovesPerBundle: 60)).Moves.SelectMany(b => b.Moves).Any(m => m.Swaps.Any(s => s.Piece == "d9"));
        Assert.True(Offered());
        w.Must(new JobOpened("K", new("q"), Sheet.Id, Sheet.Hash, new(Sheet.Era, Sheet.Feed, 3, 2, [])));
        w.Must(new Reserved("d9", "K", "promised"));
        Assert.False(Offered());
    }
}
