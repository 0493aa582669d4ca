using System.Collections.Immutable;
using Bellwire.Counsel;
using Bellwire.Sheets;
using Bellwire.Workshop;
using Core.Tests.Sheets;
using Core.Tests.Workshop;

namespace Core.Tests.Counsel;

/// <summary>Proved sets teach, and only they (common practice, no source).</summary>
public class GoodSetChartTests
{
    private static readonly TypeSheet Sheet = ShippedFiles.Read("corridor-nine");
    private static readonly ImmutableDictionary<string, string> None = ImmutableDictionary<string, string>.Empty;

    private static void Set(ShopWorld w, string job, double raw, string? ending, bool mendAfter = false, string? sheet = "corridor-nine", string point = "raw")
    {
        w.Must(new JobOpened(job, new("o"), sheet, null, new("microprocessor", "centre-tapped", 3, 2, [])));
        w.Must(new PieceRecorded(job + "-amp", "amp", "Power amplifier", "owner:" + job, job, Places.House, null, null));
        w.Must(new SystemSetUp("set-" + job, job, sheet, None));
        w.Must(new Powered(job, "set-" + job, "limited", 120));
        w.Must(new Noted(job, new("n")));
        w.Must(new ReadingTaken(job, "set-" + job, point, "volt-dc", raw, "typed", None));
        if (mendAfter) w.Must(new Mended(job, job + "-amp", null, null, "output", "put right", 1, 5));
        if (ending is not null) w.Must(new JobClosed(job, ending, "test"));
    }

    private static GoodSetChart Chart(ShopWorld w, string job) => GoodSetChart.For(w.State, job, _ => Sheet);

    [Fact]
    public void The_second_set_already_sees_the_first_and_the_third_a_spread()
    {
        var w = new ShopWorld();
        Set(w, "a", 16.4, "mended");
        Set(w, "b", 16.8, null);
        var one = Chart(w, "b").At("raw", "volt-dc", "limited/cold");
        Assert.Equal([16.4], one!.Normal.Values);
        w.Must(new JobClosed("b", "no fault found", "test"));
        Set(w, "c", 12, null);
        var two = Chart(w, "c").At("raw", "volt-dc", "limited/cold")!;
        Assert.Equal((16.6, 2), (Math.Round(two.Normal.Mean, 9), two.Normal.Values.Length));
        Assert.Equal(["a", "b"], two.Jobs);
        Assert.Equal("16.6 V in 2 good sets, 16.4 to 16.8", two.Words("V"));
    }

    [Fact]
    public void Nothing_is_learnt_from_what_was_not_proved_or_changed_after_or_is_of_another_family()
    {
        var w = new ShopWorld();
        Set(w, "open", 1, null);
        Set(w, "lost", 2, "returned unsolved");
        Set(w, "stale", 3, "mended", mendAfter: true);
        Set(w, "other", 4, "mended", sheet: "another");
        Set(w, "mine", 16, "mended");
        Assert.Empty(Chart(w, "mine").Points);
        Assert.Throws<ArgumentException>(() => Chart(w, "nobody"));
    }

    [Fact]
    public void Sets_without_a_sheet_teach_each_other_at_points_of_ones_own_naming()
    {
        var w = new ShopWorld();
        Set(w, "a", 4.7, "mended", sheet: null, point: "U3 pin 5");
        Set(w, "b", 4.6, null, sheet: null, point: "U3 pin 5");
        var chart = Chart(w, "b");
        Assert.False(chart.OwnFamily);
        Assert.Equal([4.7], chart.At("U3 pin 5", "volt-dc", "limited/cold")!.Normal.Values);
    }

    [Fact]
    public void A_reading_knows_what_it_was_taken_under()
    {
        var w = new ShopWorld();
        Set(w, "a", 16, null);
        for (var i = 0; i < 5; i++) w.Must(new Noted("a", new("wait"))); // a minute each: warm after five
        w.Must(new ReadingTaken("a", "set-a", "raw", "volt-dc", 15.9, "typed", None));
        w.Must(new Unpowered("a", "set-a"));
        w.Must(new ReadingTaken("a", "set-a", "raw-ohms", "ohm", 900, "typed", None));
        var read = ReadingHistory.Of(w.State, "a");
        Assert.Equal(["limited feed, 120 V line, cold", "limited feed, 120 V line, warm", "unpowered"], read.Select(r => r.Words));
        Assert.Equal([("limited", 120.0), ("limited", 120.0), ("off", (double?)null)], read.Select(r => (r.Feed, r.LineVolts)));
    }
}
