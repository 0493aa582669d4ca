using System.Collections.Immutable;
using Bellwire.Workshop;

namespace Core.Tests.Workshop;

/// <summary>The drawer of parts: what is used is no longer there, and nobody takes the last one twice. Laws of the design; no outside source.</summary>
public class DrawerTests
{
    private static ShopWorld WithPart(int count = 2)
    {
        var w = ShopWorld.WithOneJob();
        w.Must(new PartShelved("p1", "electrolytic", "1000 µF 35 V", ImmutableDictionary<string, string>.Empty.Add("new", "1000"), count, "drawer 3"));
        return w;
    }

    private static PartUsed Use(string? stock = "p1", int? count = null, string? old = null) => new("J1", "amp1", "1000 µF 35 V", 0.4m, "EUR", null, stock, count, old);

    [Fact]
    public void What_is_used_is_gone_and_the_last_is_not_taken_twice()
    {
        var w = WithPart();
        w.Must(Use(), "use1");
        w.Must(Use(old: OldParts.Kept));
        Assert.Equal(0, w.State.Parts["p1"].Count);
        Assert.Contains("0 left in the drawer", w.Refused(Use()).Why);
        w.Must(new Struck("use1", "counted twice"));
        Assert.Equal(1, w.State.Parts["p1"].Count);
        w.Must(new PartCounted("p1", 5, "drawer 4"));
        Assert.Equal((5, "drawer 4"), (w.State.Parts["p1"].Count, w.State.Parts["p1"].Place));
    }

    [Fact]
    public void A_bought_part_needs_no_drawer() => WithPart().Must(Use(stock: null, old: OldParts.Returned));

    [Fact]
    public void Wrong_words_are_named()
    {
        var w = WithPart();
        Assert.Contains("no part p9", w.Refused(Use("p9")).Why);
        Assert.Contains("outside 1 to 1000", w.Refused(Use(count: 0)).Why);
        Assert.Contains("kept, returned, thrown away", w.Refused(Use(old: "lost")).Why);
        Assert.Contains("already", w.Refused(new PartShelved("p1", "fuse", "x", ImmutableDictionary<string, string>.Empty, 1, "a")).Why);
        Assert.Contains("outside 0 to 10000", w.Refused(new PartCounted("p1", -1)).Why);
        Assert.Contains("no part", w.Refused(new PartCounted("p9", 1)).Why);
    }

    /// <summary>A use may not be moved or struck into existence before its part was there.</summary>
    [Fact]
    public void A_late_use_before_the_part_was_there_is_refused()
    {
        var w = WithPart();
        Assert.Contains("no part p1", w.Refused(Use(), after: 6).Why);
    }

    [Fact]
    public void Older_entries_read_and_write_the_same() =>
        Assert.Equal("""{"job":"J1","piece":"amp1","part":"fuse","cost":1,"currency":"EUR"}""", ActKinds.Write(ActKinds.Read("part-used", """{"job":"J1","piece":"amp1","part":"fuse","cost":1,"currency":"EUR"}""")));
}
