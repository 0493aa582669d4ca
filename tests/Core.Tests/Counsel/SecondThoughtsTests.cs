using System.Collections.Immutable;
using Bellwire.Counsel;
using Bellwire.Sheets;
using Bellwire.Workshop;
using Core.Tests.Sheets;
using Core.Tests.Workshop;

namespace Core.Tests.Counsel;

/// <summary>What a bench does before it builds on a finding, all common practice, no source: an unlikely reading is made twice, no fuse goes in before what
/// blew it is looked for, what failed a proof is tried before the next, and what is mended in vain is taken for something else.</summary>
public class SecondThoughtsTests
{
    private static readonly TypeSheet Sheet = ShippedFiles.Read("corridor-nine");
    private static readonly ImmutableDictionary<string, string> None = ImmutableDictionary<string, string>.Empty;

    private static ShopWorld Benched() => BenchedSet.Of(Sheet, "limited", []);
    private static Checked Saw(string check, string outcome) => BenchedSet.Saw(Sheet, check, outcome);
    private static Advice Advise(ShopWorld w) => BenchedSet.Advise(w, Sheet);

    private static Advice After(params Act[] acts) => BenchedSet.After(Sheet, acts);

    [Fact]
    public void A_reading_that_hardly_anybody_foretold_is_made_once_more_and_only_once()
    {
        Act[] sound = [Saw("rail12-volts", "good"), Saw("raw-volts", "right"), Saw("fn-clock", "good")];
        var odd = Saw("rail5-volts", "high");
        var first = After([.. sound, odd]).Moves;
        Assert.Equal(("again", "again:rail5-volts"), (first[0].Id, first[0].Moves[0].Id));
        Assert.True(first[0].Worth >= 1);
        Assert.DoesNotContain(After([.. sound, odd, odd]).Moves, b => b.Id == "again");
        // High, then good, on a rail that kills: a third look tells which of the two was the slip.
        Assert.Equal("again:rail5-volts", After([.. sound, odd, Saw("rail5-volts", "good")]).Moves[0].Moves[0].Id);
        Assert.DoesNotContain(After([.. sound, odd, Saw("rail5-volts", "good"), Saw("rail5-volts", "good")]).Moves, b => b.Id == "again");
        Assert.DoesNotContain(After([.. sound, Saw("rail5-volts", "good")]).Moves, b => b.Id == "again");
    }

    [Fact]
    public void A_fuse_is_not_mended_while_what_may_have_blown_it_is_worth_a_look()
    {
        Act[] open = [Saw("rail12-volts", "dead"), Saw("raw-volts", "none"), new Unpowered("J", "S"), Saw("ohms-fuse", "open")];
        var before = After(open);
        Assert.DoesNotContain(before.Moves.Where(b => b.Id == "mend").SelectMany(b => b.Moves), m => m.Id.StartsWith("mend:J-fuse.link", StringComparison.Ordinal));
        Assert.Contains(before.Warnings, w => w.Contains("is not to be mended yet", StringComparison.Ordinal));
        var after = After([.. open, Saw("ohms-rectifier", "good"), Saw("ohms-raw", "normal")]);
        Assert.Contains(after.Moves.Single(b => b.Id == "mend").Moves, m => m.Id.StartsWith("mend:J-fuse.link", StringComparison.Ordinal));
        Assert.DoesNotContain(after.Warnings, w => w.Contains("is not to be mended yet", StringComparison.Ordinal));
    }

    [Fact]
    public void What_failed_the_proof_is_tried_before_the_next_proof()
    {
        var proof = new GridChecked("J", "S", Sheet.Functions.Select(f => Sheet.Checks.First(c => c.Id == f.Check)).ToImmutableDictionary(c => c.Id, c => c.Id == "fn-am" ? "weak" : c.Outcomes[0]), None, 40);
        var mend = new Mended("J", null, "S", "tuner", "am-lead", "lead mended", 0.95, 10);
        Assert.DoesNotContain(After(proof).Moves, b => b.Id == "retry");
        var retry = After(proof, mend).Moves.Single(b => b.Id == "retry");
        Assert.Equal("fn-am", Assert.Single(retry.Moves).Check);
        Assert.True(retry.Worth >= 1);
        Assert.DoesNotContain(After(proof, mend).Moves.Where(b => b.Id != "retry").SelectMany(b => b.Moves), m => m.Kind == "look" && m.Check == "fn-am");
        // The same step by step, as the page for the proof takes it.
        var step = Sheet.Proof.First(s => s.Check == "fn-am");
        Act[] steps = [new Proved("J", step.Id, "failed", null, null, null), mend];
        Assert.Equal("fn-am", Assert.Single(After(steps).Moves.Single(b => b.Id == "retry").Moves).Check);
        var w = Benched();
        foreach (var a in steps) w.Must(a);
        Assert.Equal(step.Id, Assert.Single(ProofPlan.Of(w.State, "J", Sheet).Lines, l => l.FailedBefore).Step.Id);
        w.Must(new Proved("J", step.Id, "shown", null, null, null));
        Assert.DoesNotContain(ProofPlan.Of(w.State, "J", Sheet).Lines, l => l.FailedBefore);
        Assert.DoesNotContain(After(proof, mend, new Powered("J", "S", "limited", null), Saw("fn-am", "good")).Moves, b => b.Id == "retry");
    }

    [Fact]
    public void A_step_that_failed_at_the_proof_is_evidence_and_so_is_the_same_step_shown_good_after_all()
    {
        var step = Sheet.Proof.First(s => s.Check == "fn-am");
        double Lead(params Act[] acts) => After(acts).Suspects.Where(s => s.Key.Contains("tuner", StringComparison.Ordinal)).Sum(s => s.Probability);
        var before = Lead();
        var failed = Lead(new Proved("J", step.Id, "failed", null, null, null));
        Assert.True(failed > 1.5 * before, $"{before} before, {failed} after");
        Assert.True(Lead(new Proved("J", step.Id, "failed", null, null, null), new Proved("J", step.Id, "shown", null, null, null)) < before);
        // Shown good at once, the proof is no look: it says so as a whole.
        Assert.Equal(before, Lead(new Proved("J", step.Id, "shown", null, null, null)), 1e-12);
        var five = Sheet.Proof.First(s => s.Point == "rail-5");
        Assert.Contains(After(new Proved("J", five.Id, "failed", 0.1, "V", null)).Suspects.Take(3), s => s.Key == "J-supply");
    }

    [Fact]
    public void What_a_failing_proof_shows_good_is_evidence_before_the_step_that_failed_and_after_it()
    {
        string Step(string check) => Sheet.Proof.First(s => s.Check == check).Id;
        Act am = new Proved("J", Step("fn-am"), "failed", null, null, null), fm = new Proved("J", Step("fn-fm"), "shown", null, null, null);
        double Front(params Act[] acts) => After(acts).Suspects.Where(s => s.Key.Contains("tuner", StringComparison.Ordinal)).Sum(s => s.Probability);
        var alone = Front(am);
        Assert.NotEqual(alone, Front(am, fm), 1e-3);
        Assert.Equal(Front(am, fm), Front(fm, am), 1e-9);
        // What was shown good before the set was mended says nothing of what fails after it.
        var mend = new Mended("J", null, "S", "tuner", "am-lead", "lead mended", 0.95, 10);
        Assert.Equal(Front(mend, am), Front(fm, mend, am), 1e-9);
    }

    [Fact]
    public void Mended_twice_in_vain_it_is_taken_for_something_the_sheet_does_not_list()
    {
        var mend = new Mended("J", "J-keypad", null, null, "keys", "new domes", 0.95, 40);
        var on = new Powered("J", "S", "limited", null);
        Act[] worn = [Saw("fn-keys", "some-dead"), Saw("ohms-keys", "worn")];
        var once = After([.. worn, mend, on, .. worn]).Moves.Single(b => b.Id == "mend").Moves;
        Assert.Contains(once, m => m.Id == "mend:J-keypad.keys:worn");
        var twice = After([.. worn, mend, on, .. worn, mend, on, .. worn]).Moves.Single(b => b.Id == "mend").Moves;
        Assert.DoesNotContain(twice, m => m.Id == "mend:J-keypad.keys:worn");
        Assert.Single(twice, m => m.Id == "through:keypad" && m.Why.Contains("mended twice", StringComparison.Ordinal));
        // Gone through and still to be seen, it is not gone through again.
        var through = After([.. worn, mend, on, .. worn, mend, on, .. worn, new Mended("J", "J-keypad", null, null, "keys", "gone through", 0.95, 90), on, .. worn]);
        Assert.DoesNotContain(through.Moves.Where(b => b.Id == "mend").SelectMany(b => b.Moves), m => m.Id.Contains("keypad", StringComparison.Ordinal));
        Assert.Contains(through.Warnings, x => x.Contains("gone through part by part", StringComparison.Ordinal));
    }

    [Fact]
    public void A_lead_that_looks_broken_after_two_mends_is_mended_again_and_the_piece_beside_it_is_not_gone_through()
    {
        var mend = new Mended("J", null, "S", "tuner", "am-lead", "joined", 0.5, 10);
        var on = new Powered("J", "S", "limited", null);
        Act[] broken = [Saw("fn-am", "dead"), Saw("look-am-lead", "broken")];
        Act[] twice = [.. broken, mend, on, .. broken, mend, on, .. broken];
        Assert.Contains(After(twice).Moves.Single(b => b.Id == "mend").Moves, m => m.Id == "mend:S/tuner.am-lead:broken");
        // There is an end to that; going through the tuner leaves its lead as it is.
        var often = After([.. twice, mend, on, .. broken, mend, on, .. broken]);
        Assert.DoesNotContain(often.Moves.Where(b => b.Id == "mend").SelectMany(b => b.Moves), m => m.Id is "mend:S/tuner.am-lead:broken" or "through:tuner");
        Assert.Contains(often.Warnings, x => x.Contains("mended 4 times", StringComparison.Ordinal));
    }

    [Fact]
    public void Only_what_is_suspect_is_swapped()
    {
        var w = Benched();
        w.Must(new PieceRecorded("good-transformer", Sheet.Positions.First(p => p.Id == "transformer").Kind, "transformer", Party.Shop, null, "shelf", null, null, KnownGood: true));
        w.Must(new PieceRecorded("good-tuner", Sheet.Positions.First(p => p.Id == "tuner").Kind, "tuner", Party.Shop, null, "shelf", null, null, KnownGood: true));
        foreach (var a in new[] { Saw("ac-volts", "good"), Saw("raw-volts", "right"), Saw("rail12-volts", "good"), Saw("fn-am", "dead"), Saw("look-am-lead", "good") }) w.Must(a);
        var swaps = Advise(w).Moves.SelectMany(b => b.Moves).Where(m => m.Kind == "swap").Select(m => m.Swaps[0].Piece).ToList();
        Assert.Contains("good-tuner", swaps);
        Assert.DoesNotContain("good-transformer", swaps);
    }
}
