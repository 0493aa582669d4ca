using System.Collections.Immutable;
using Bellwire.Counsel;
using Bellwire.Sheets;
using Bellwire.Workshop;
using Core.Tests.Sheets;
using Core.Tests.Workshop;

namespace Core.Tests.Counsel;

/// <summary>Closed jobs teach a family; an unproved mend, a comeback or a struck closing does not.</summary>
public class LearnedOddsTests
{
    private static readonly TypeSheet Sheet = SheetReader.Read(SmallSheet.Text.Replace("room: 2", "room: 1"), "small.yaml").Sheet!;
    private static readonly ImmutableDictionary<string, string> None = ImmutableDictionary<string, string>.Empty;

    /// <summary>A set whose amplifier chip was seen dead, mended, proved and sent home.</summary>
    private static ShopWorld Through(ShopWorld w, string job, bool proved = true)
    {
        w.Must(new JobOpened(job, new("p"), "small", null, ShopWorld.Outline));
        var map = None;
        foreach (var (at, kind) in new[] { ("supply", "supply"), ("amp", "amp"), ("tuner", "tuner") })
        {
            w.Must(new PieceRecorded(job + at, kind, at, "owner:" + job, job, Places.Bench, null, null));
            map = map.Add(at, job + at);
        }
        w.Must(new SystemSetUp("set" + job, job, "small", map));
        w.Must(new Checked(job, "set" + job, "fn-fm", "dead", None, None, 1));
        w.Must(new ReadingTaken(job, "set" + job, "rail", "volt-dc", 12, "12 V", None));
        w.Must(new Mended(job, job + "amp", null, null, "chip", "chip replaced", 0.95, 20));
        if (proved) foreach (var step in Sheet.Proof) w.Must(new Proved(job, step.Id, "shown", step.Low is null ? null : 12, step.Unit, "bench"));
        foreach (var piece in map.Values) w.Must(new PackedPiece(job, piece));
        w.Must(new CartonClosed(job, null));
        w.Must(new JobClosed(job, "mended", null), "closing-" + job);
        return w;
    }

    private static LearnedFault Chip(LearnedOdds odds) => odds.Faults.Single(f => f.Where == "Amplifier" && f.Words.Contains("dead", StringComparison.OrdinalIgnoreCase) || f.Words.Contains("Chip", StringComparison.Ordinal));

    [Fact]
    public void A_proved_and_returned_mend_raises_its_fault_and_striking_the_closing_undoes_it()
    {
        var w = Through(new ShopWorld(), "A");
        var one = LearnedOdds.Of(w.State, Sheet);
        Assert.Equal(["A"], one.Jobs);
        Assert.True(Chip(one).New > Chip(one).Old, $"{Chip(one)}");
        // No mode of it can move beyond the closed form of a fault seen for certain: (strength·p + 1) / (strength + 1).
        Assert.True(Chip(one).New <= (20 * Chip(one).Old + 1) / 21 + 1e-6);
        Through(w, "B");
        var two = LearnedOdds.Of(w.State, Sheet);
        Assert.True(Chip(two).New > Chip(one).New);
        w.Must(new Struck("closing-B", "it was the other set"));
        Assert.Equal(Chip(one).New, Chip(LearnedOdds.Of(w.State, Sheet)).New, 1e-12);
        w.Must(new Struck("closing-A", "likewise"));
        Assert.Empty(LearnedOdds.Of(w.State, Sheet).Faults);
    }

    [Fact]
    public void An_unproved_mend_and_one_that_came_back_teach_nothing()
    {
        var w = Through(new ShopWorld(), "A", proved: false);
        Through(w, "B");
        w.Must(new JobOpened("C", new("p"), "small", null, ShopWorld.Outline));
        w.Must(new ComebackOf("C", "B"));
        var odds = LearnedOdds.Of(w.State, Sheet);
        Assert.Empty(odds.Jobs);
        Assert.Equal([("A", "nothing was proved after the last mend"), ("B", "it came back")], odds.LeftOut);
    }

    [Fact]
    public void A_prior_worth_every_set_there_ever_was_does_not_move() =>
        Assert.All(LearnedOdds.Of(Through(new ShopWorld(), "A").State, Sheet, strength: 1e9).Faults, f => Assert.Equal(f.Old, f.New, 1e-7));

    [Fact]
    public void Odds_taken_up_bind_the_jobs_begun_after_them_until_one_of_their_closings_is_struck()
    {
        var w = Through(new ShopWorld(), "A");
        w.Must(new JobOpened("before", new("p"), "small", null, ShopWorld.Outline));
        var learned = LearnedOdds.Of(w.State, Sheet);
        w.Must(learned.Adoption(w.State)!, "taken-up");
        w.Must(new JobOpened("after", new("p"), "small", null, ShopWorld.Outline));
        w.Must(new JobOpened("other", new("p"), "another", null, ShopWorld.Outline));

        Assert.Equal(["1", "taken-up", "1"], new[] { "before", "after", "other" }.Select(j => w.State.Jobs[j].OddsVersion));
        Assert.Same(Sheet, LearnedOdds.InForce(w.State, w.State.Jobs["before"], Sheet));
        Assert.Equal(ChipOdds(learned.Sheet), ChipOdds(LearnedOdds.InForce(w.State, w.State.Jobs["after"], Sheet)));
        Assert.True(ChipOdds(learned.Sheet) > ChipOdds(Sheet));

        // An owner who says the chip's function is dead is believed of the chip more than by the sheet's own odds.
        double Suspect(string job) => Counsellor.Advise(w.State, job, LearnedOdds.InForce(w.State, w.State.Jobs[job], Sheet), _ => null).Suspects.First(s => s.Name.Contains("Amplifier", StringComparison.Ordinal)).Probability;
        Assert.True(Suspect("after") > Suspect("before"));

        w.Must(new SheetPinned("after", "small", Sheet.Hash, "1", "1"));
        Assert.Equal("1", w.State.Jobs["after"].OddsVersion);
        w.Must(new SheetPinned("after", "small", Sheet.Hash, "taken-up", "1"));
        w.Must(new Struck("closing-A", "it was the other set"));
        Assert.False(LearnedOdds.Holds(w.State, "taken-up"));
        Assert.Same(Sheet, LearnedOdds.InForce(w.State, w.State.Jobs["after"], Sheet));
        Assert.Equal("taken-up", w.State.Jobs["after"].OddsVersion);
    }

    [Fact]
    public void Progress_is_told_and_a_reckoning_can_be_stopped()
    {
        var w = Through(Through(new ShopWorld(), "A"), "B");
        var told = new List<(int Done, int Of)>();
        LearnedOdds.Of(w.State, Sheet, progress: (d, o) => told.Add((d, o)));
        Assert.Equal(Enumerable.Range(1, told.Count), told.Select(t => t.Done));
        Assert.All(told, t => Assert.InRange(t.Done, 1, t.Of));
        using var stop = new CancellationTokenSource();
        Assert.Throws<OperationCanceledException>(() => LearnedOdds.Of(w.State, Sheet, progress: (_, _) => stop.Cancel(), cancel: stop.Token));
    }

    [Fact]
    public void Odds_outside_their_range_or_from_nowhere_are_refused()
    {
        var w = Through(new ShopWorld(), "A");
        Assert.Contains("outside 0 to below 1", w.Refused(new OddsAdopted("small", "h", ["closing-A"], [new("amp.chip", "dead", 1)])).Why, StringComparison.Ordinal);
        Assert.Contains("outside 0 to below 1", w.Refused(new OddsAdopted("small", "h", ["closing-A"], [new("amp.chip", "dead", double.NaN)])).Why, StringComparison.Ordinal);
        Assert.Contains("closing", w.Refused(new OddsAdopted("small", "h", [], [new("amp.chip", "dead", 0.1)])).Why, StringComparison.Ordinal);
    }

    private static double ChipOdds(TypeSheet sheet) => sheet.Family.Kinds.First(k => k.Id == "amp").Sites.First(s => s.Id == "chip").Modes.First(m => m.Id == "dead").BaseOdds;
}
