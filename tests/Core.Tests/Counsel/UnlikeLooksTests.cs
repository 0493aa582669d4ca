using System.Collections.Immutable;
using Bellwire.Counsel;
using Bellwire.Reasoning;
using Bellwire.Sheets;
using Bellwire.Workshop;
using Core.Tests.Sheets;

namespace Core.Tests.Counsel;

/// <summary>A look made again that shows something else: a slip, or a fault that comes and goes; a good reading takes no bad one back (common practice, no source).</summary>
public class UnlikeLooksTests
{
    private static readonly TypeSheet Sheet = ShippedFiles.Read("corridor-nine");
    private static Checked Saw(string outcome) => BenchedSet.Saw(Sheet, "rail12-volts", outcome);
    private static Checked Warm(string outcome) => Saw(outcome) with { Circumstances = ImmutableDictionary<string, string>.Empty.Add("warmth", "warm") };

    private static Weighed After(params Act[] acts)
    {
        var w = BenchedSet.Of(Sheet, "limited", []);
        foreach (var a in acts) w.Must(a);
        return Counsellor.Weigh(w.State, "J", Sheet);
    }

    private static double Faulty(Weighed w, string piece, string site) => w.Weighing.Posterior!.Sites.Single(s => s.Site == SiteRef.OfPiece(piece, site)).Faulty;

    [Fact]
    public void What_comes_and_goes_is_not_cleared_by_the_good_reading()
    {
        var comesAndGoes = Sheet.Family.Kinds.First(k => k.Id == "supply").Sites.First(s => s.Id == "joints");
        Assert.Contains(comesAndGoes.Modes, m => m.ShowsPerTrial is > 0 and < 1);
        var once = Faulty(After(Warm("good")), "J-supply", "joints");
        var unlike = Faulty(After(Warm("low"), Warm("good")), "J-supply", "joints");
        Assert.True(unlike > 3 * once, $"{unlike} after low and good, {once} after good");
        // In whatever order they were read.
        Assert.Equal(unlike, Faulty(After(Warm("good"), Warm("low")), "J-supply", "joints"), 1e-6);
        // What does not come and go is less likely than when it read low only, and a third reading tells which was the slip.
        var low = Faulty(After(Saw("low")), "J-supply", "reg12");
        var disputed = Faulty(After(Saw("low"), Saw("good")), "J-supply", "reg12");
        Assert.True(disputed < low / 3, $"{disputed} of {low}");
        Assert.True(Faulty(After(Saw("low"), Saw("good"), Saw("good")), "J-supply", "reg12") < disputed / 3);
    }

    [Fact]
    public void The_same_again_counts_once()
    {
        Assert.Equal(Faulty(After(Saw("low")), "J-supply", "reg12"), Faulty(After(Saw("low"), Saw("low"), Saw("low")), "J-supply", "reg12"), 1e-9);
        // After a mend it is another look.
        Act mend = new Mended("J", "J-display", null, null, "driver", "mended", 0.95, 20);
        Assert.Equal(Faulty(After(Saw("low"), mend, Saw("good"), Saw("good")), "J-supply", "reg12"), Faulty(After(Saw("low"), mend, Saw("good")), "J-supply", "reg12"), 1e-9);
    }

    [Fact]
    public void Where_two_differ_the_look_is_offered_again_but_not_for_ever()
    {
        const string key = "S:rail12-volts";
        Assert.Contains(key, After(Saw("low")).Built.Fresh);
        Assert.DoesNotContain(key, After(Saw("low"), Saw("good")).Built.Fresh);
        Assert.DoesNotContain(key, After(Saw("low"), Saw("good"), Saw("good")).Built.Fresh);
        Assert.Contains(key, After(Saw("low"), Saw("good"), Saw("low"), Saw("good"), Saw("low")).Built.Fresh);
    }

    [Fact]
    public void A_slip_that_could_not_be_does_not_end_the_reckoning()
    {
        // A silent chime has no interval, and the sheet leaves no chance that one is heard; heard once and then none, one of the two was a slip.
        Assert.Equal(0, Sheet.Checks.First(c => c.Id == "ear-interval").Matrix["narrow"].GetValueOrDefault("dead"));
        Checked Heard(string outcome) => BenchedSet.Saw(Sheet, "ear-interval", outcome);
        var before = Faulty(After(), "J-chime", "generator");
        Assert.True(Faulty(After(Heard("narrow"), Heard("none")), "J-chime", "generator") > before);
        Assert.True(Faulty(After(Heard("narrow"), Heard("none"), Heard("none")), "J-chime", "generator") > 5 * before);
    }
}
