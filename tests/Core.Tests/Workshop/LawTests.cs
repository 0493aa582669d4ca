using System.Collections.Immutable;
using Bellwire.Workshop;

namespace Core.Tests.Workshop;

public class LawTests
{
    [Fact]
    public void A_position_holds_one_piece_and_a_piece_one_position()
    {
        var w = ShopWorld.WithOneJob();
        Assert.Contains("holds", w.Refused(new Fitted("J1", "ampS", "set1", "amplifier")).Why);
        w.Must(new Pulled("J1", "amp1", "set1", "amplifier", null));
        w.Must(new Fitted("J1", "ampS", "set1", "amplifier"));
        Assert.Contains("sits in", w.Refused(new Fitted("J1", "ampS", "mule", "amplifier")).Why);
        Assert.Equal("J1", w.State.Pieces["ampS"].LentTo);
    }

    [Fact]
    public void Ownership_needs_the_word_of_the_owner_concerned()
    {
        var w = ShopWorld.WithOneJob();
        Assert.Contains("word of owner:J1", w.Refused(new OwnershipMoved("amp1", Party.Shop, "gift", null)).Why);
        w.Must(new OwnerWord("J1", "keep the old amplifier", false, "telephone", null, null, null), "no");
        Assert.Contains("a no", w.Refused(new OwnershipMoved("amp1", Party.Shop, "gift", "no")).Why);
        w.Must(new OwnerWord("J1", "keep the old amplifier", true, "telephone", null, null, null), "yes");
        w.Must(new OwnershipMoved("amp1", Party.Shop, "gift", "yes"));
        Assert.Equal(Party.Shop, w.State.Pieces["amp1"].Owner);
        Assert.Contains("on it: strike", w.Refused(new Struck("yes", "slip")).Why);
    }

    [Fact]
    public void A_carton_closes_only_when_everything_is_accounted_for_and_never_with_the_shops_own()
    {
        var w = ShopWorld.WithOneJob();
        w.Must(new HardwareCounted("J1", "M3 screw", 6, 6, null));
        w.Must(new Pulled("J1", "amp1", "set1", "amplifier", null));
        w.Must(new Fitted("J1", "ampS", "set1", "amplifier"));
        var no = w.Refused(new CartonClosed("J1", "in a hurry"));
        Assert.False(no.Overridable);
        Assert.Contains("shop's own", no.Why);
        Assert.Contains("does not leave", w.Refused(new PackedPiece("J1", "ampS")).Why);

        w.Must(new Pulled("J1", "ampS", "set1", "amplifier", Places.Shelf));
        w.Must(new Fitted("J1", "amp1", "set1", "amplifier"));
        w.Must(new PackedPiece("J1", "amp1"));
        w.Must(new PackedPiece("J1", "sup1"));
        var open = w.Refused(new CartonClosed("J1", null));
        Assert.True(open.Overridable);
        Assert.Equal(["M3 screw: 6 came, 0 packed."], open.Details);
        w.Must(new PackedHardware("J1", "M3 screw", 6, null));
        w.Must(new CartonClosed("J1", null));
        w.Must(new JobClosed("J1", "mended", null));
    }

    [Fact]
    public void A_late_entry_takes_effect_where_it_belongs_and_is_refused_where_it_cannot()
    {
        var w = ShopWorld.WithOneJob();
        w.Must(new Pulled("J1", "amp1", "set1", "amplifier", null));
        var pulled = w.Recorded[^1].Number;
        w.Must(new Checked("J1", "set1", "listen", "silent", ImmutableDictionary<string, string>.Empty, ImmutableDictionary<string, string>.Empty, 2));
        w.Must(new Fitted("J1", "ampS", "set1", "amplifier"), after: pulled);
        Assert.Equal("ampS", w.State.Systems["set1"].Pieces["amplifier"]);
        Assert.Equal(["pulled", "fitted", "checked"], w.State.Effective.TakeLast(3).Select(e => ActKinds.NameOf(e.Act)));
        Assert.Contains("At that point", w.Refused(new Fitted("J1", "ampS", "mule", "amplifier"), after: pulled + 2).Why);
    }

    [Fact]
    public void Striking_names_what_depends_and_striking_a_strike_restores()
    {
        var w = ShopWorld.WithOneJob();
        w.Must(new Pulled("J1", "amp1", "set1", "amplifier", null), "pull");
        w.Must(new Fitted("J1", "ampS", "set1", "amplifier"), "fit");
        var no = w.Refused(new Struck("pull", "slip"));
        Assert.Contains("#8 fitted", Assert.Single(no.Details));
        Assert.Equal([8], no.Standing);
        Assert.Equal("1 later entry stands on it: strike that first, or leave it and put it right by a later entry.", no.Why);
        w.Must(new Struck("fit", "slip"), "strike");
        Assert.Equal(Whereabouts.At(Places.Shelf), w.State.Pieces["ampS"].Where);
        w.Must(new Struck("strike", "it was right"));
        Assert.Equal(Whereabouts.In("set1", "amplifier"), w.State.Pieces["ampS"].Where);
    }

    [Fact]
    public void It_is_wired_like_this_now_repairs_the_whole_map_in_one_act()
    {
        var w = ShopWorld.WithOneJob();
        w.Must(new HookUpRepaired("J1", "mule", ImmutableDictionary<string, string>.Empty.Add("amplifier", "amp1")));
        Assert.False(w.State.Systems["set1"].Pieces.ContainsKey("amplifier"));
        Assert.Equal(Whereabouts.In("mule", "amplifier"), w.State.Pieces["amp1"].Where);
        w.Must(new HookUpRepaired("J1", "set1", ImmutableDictionary<string, string>.Empty.Add("amplifier", "ampS")));
        Assert.Equal(Whereabouts.At(Places.Bench), w.State.Pieces["sup1"].Where);
    }

    [Fact]
    public void An_unknown_kind_is_preserved_to_the_letter()
    {
        const string json = """{"job":"J1","wonder":[1,2]}""";
        var act = ActKinds.Read("from-the-future", json);
        Assert.Equal(("from-the-future", json), (ActKinds.NameOf(act), ActKinds.Write(act)));
    }
}
