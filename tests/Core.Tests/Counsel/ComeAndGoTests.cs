using System.Collections.Immutable;
using Bellwire.Counsel;
using Bellwire.Sheets;
using Bellwire.Workshop;
using Core.Tests.Sheets;
using static Core.Tests.Counsel.FurtherLookTests;

namespace Core.Tests.Counsel;

/// <summary>Faults that come and go: swapping back and forth by hand (closed forms of the beta-binomial), clean hours by the gamma rate (WatchTests names the source).</summary>
public class ComeAndGoTests
{
    private static readonly TypeSheet Sheet = ShippedFiles.Read("corridor-nine");

    /// <summary>Jeffreys' prior: two failures in a row ½·¾ = 3/8; two failures and two clean in one order 3/8·(½/3)·(1½/4) = 3/128; four failures 3/8·(2½/3)·(3½/4) = 35/128;
    /// four failures and two clean 35/128·(½/5)·(1½/6) = 35/5120.</summary>
    [Fact]
    public void Each_leg_is_worth_what_it_is_by_hand()
    {
        var two = SwapLegs.Of([new(true, 2, 2), new(false, 2, 0)], (0.45, 0.1));
        double piece = 0.45 * 3 / 8, elsewhere = 0.45 * 3 / 128, contact = 0.1 * 3 / 8, all = piece + elsewhere + contact;
        Assert.Equal(piece / all, two.Piece, 1e-12);
        Assert.Equal(elsewhere / all, two.Elsewhere, 1e-12);
        Assert.Equal(contact / all, two.Contact, 1e-12);
        var three = SwapLegs.Of([new(true, 2, 2), new(false, 2, 0), new(true, 2, 2)], (0.45, 0.1));
        Assert.Equal(0, three.Contact);
        Assert.Equal(1 / (1 + 35.0 / 5120 / (35.0 / 128)), three.Piece, 1e-12);
        // The leg before it foretold just that, had it been told how the leg would end.
        Assert.Equal(three.Piece, two.NextSuspect, 1e-12);
        Assert.EndsWith("mend it or change it.", three.Say("the tuner", true), StringComparison.Ordinal);
    }

    [Fact]
    public void A_failure_with_the_good_piece_in_clears_the_suspect_and_a_clean_refit_points_to_the_contact()
    {
        Assert.Equal(0, SwapLegs.Of([new(true, 3, 2), new(false, 3, 1)], (0.45, 0.1)).Piece);
        var refit = SwapLegs.Of([new(true, 3, 3), new(false, 3, 0), new(true, 3, 0), new(false, 3, 0), new(true, 3, 0)], (0.45, 0.1));
        Assert.True(refit.Contact > 0.9, $"{refit.Contact}");
        // One leg alone tells nothing; legs that show nothing at all tell nothing of where it is.
        Assert.Equal(0.45, SwapLegs.Of([new(true, 4, 2)], (0.45, 0.1)).Piece, 1e-12);
        Assert.Contains("3 times", Assert.Throws<ArgumentException>(() => SwapLegs.Of([new(true, 2, 3)], (0.45, 0.1))).Message, StringComparison.Ordinal);
        Assert.Throws<ArgumentException>(() => SwapLegs.Of([], (0.9, 0.2)));
    }

    /// <summary>Twice in 4 weeks of 20 hours: clean for h hours though still there with (80/(80 + h))²; 9 in 10 after 80·(√10 − 1) = 173 hours, longer than anybody soaks.</summary>
    [Fact]
    public void A_seldom_fault_is_not_waited_for_and_the_owner_is_told_what_a_clean_run_is_worth()
    {
        var found = Of(new ComesAndGoes("J", 2, 4, 20), new SoakEnded("J", "S", 20, 20, 0, "nothing happened"))!;
        Assert.Equal(20, found.CleanHours);
        Assert.Contains(found.Lines, l => l.Contains("36 in 100 would have shown", StringComparison.Ordinal) && l.Contains("first clean hour is worth 2.5 in 100", StringComparison.Ordinal));
        Assert.Contains(found.Lines, l => l.Contains("153 hours more would be needed", StringComparison.Ordinal));
        Assert.False(found.Enough);
        Assert.Contains("36 in 100", found.ForOwner[0], StringComparison.Ordinal);
        Assert.True(Of(new ComesAndGoes("J", 2, 4, 20), new SoakEnded("J", "S", 80, 80, 0, "nothing happened"))!.Enough);
    }

    /// <summary>Ten times a week of 20 hours: 9 in 10 after 20·(10^(1/10) − 1) = 5.2 hours.</summary>
    [Fact]
    public void A_frequent_fault_is_waited_for_and_a_change_begins_the_count_anew()
    {
        Act often = new ComesAndGoes("J", 10, 1, 20), night = new SoakEnded("J", "S", 8, 8, 0, "nothing happened");
        Assert.True(Of(often, night)!.Enough);
        var after = Of(often, night, new Reseated("J", "S", "tuner"))!;
        Assert.Equal((0, false), (after.CleanHours, after.Enough));
        Assert.Contains(after.Lines, l => l.StartsWith("5.2 clean hours more", StringComparison.Ordinal));
        Assert.Contains(Of(often, new SoakEnded("J", "S", 8, 8, 3, "drop-out"))!.Lines, l => l.Contains("3 times in the soak", StringComparison.Ordinal));
    }

    [Fact]
    public void A_look_that_wavers_is_noticed_and_a_steady_set_is_not()
    {
        static Act Heard(string outcome) => new Checked("J", "S", "fn-aux", outcome, Sheet.Checks.First(c => c.Id == "fn-aux").Throws, None, null);
        Assert.Contains(Of(Heard("dead"), Heard("good"), Heard("dead"))!.Lines, l => l.Contains("wrong 2 of 3 times with nothing changed", StringComparison.Ordinal));
        Assert.Null(Of(Heard("dead"), Heard("dead")));
    }

    private static ComeAndGo? Of(params Act[] seen)
    {
        var w = Set([], seen);
        return ComeAndGo.Of(w.State, "J", Sheet, Counsellor.Weigh(w.State, "J", Sheet));
    }
}
