using System.Collections.Immutable;
using Bellwire.Counsel;
using Bellwire.Counsel.Mends;
using Bellwire.Sheets;
using Bellwire.Workshop;
using Core.Tests.Sheets;
using Core.Tests.Workshop;

namespace Core.Tests.Counsel;

/// <summary>A fault that nobody listed is found by exchange: it goes with the piece, or it stays (common practice, no source).</summary>
public class UnexplainedTests
{
    private static readonly TypeSheet Sheet = ShippedFiles.Read("corridor-nine");
    private static readonly ImmutableDictionary<string, string> None = ImmutableDictionary<string, string>.Empty;
    private const string Failed = "fn-door-listen-1";

    private static ProofStep[] Steps => [.. Sheet.Proof.Where(s => s.Check is { } c && Sheet.Checks.First(x => x.Id == c).TargetKind == "signal")];

    /// <summary>Everything is shown but that the house hears door 1, though it talks there: no fault on the sheet does that and nothing else.</summary>
    private static ShopWorld Proved()
    {
        var w = BenchedSet.Of(Sheet, "limited", []);
        w.Must(new SystemSetUp("mule", null, Sheet.Id, None));
        foreach (var s in Steps) w.Must(new Proved("J", s.Id, s.Check == Failed ? "failed" : "shown", null, null, null));
        return w;
    }

    private static void InMule(ShopWorld w, string position, string outcome)
    {
        w.Must(new Unpowered("J", "S"));
        w.Must(new Pulled("J", "J-" + position, "S", position, null));
        w.Must(new Fitted("J", "J-" + position, "mule", position));
        w.Must(new Powered("J", "mule", "limited", null));
        w.Must(BenchedSet.Saw(Sheet, Failed, outcome) with { System = "mule" });
        w.Must(new Unpowered("J", "mule"));
        w.Must(new Pulled("J", "J-" + position, "mule", position, null));
        w.Must(new Fitted("J", "J-" + position, "S", position));
    }

    [Fact]
    public void What_nothing_on_the_sheet_explains_is_exchanged_one_at_a_time()
    {
        var advice = BenchedSet.Advise(Proved(), Sheet);
        var exchange = advice.Moves.Single(b => b.Id == "exchange");
        Assert.All(exchange.Moves, m => Assert.Equal((Failed, "swap"), (m.Check, m.Kind)));
        // What the failed function is taken from and no working one is: boards that its own rules name.
        Assert.Equal(["intercom", "terminals"], exchange.Moves.Select(m => m.Swaps[0].Position).Order(StringComparer.Ordinal));
        Assert.True(exchange.Worth >= 1);
        Assert.Equal("look on", advice.StoppingWord);
    }

    [Fact]
    public void Where_the_fault_goes_with_the_piece_the_piece_is_gone_through()
    {
        var w = Proved();
        InMule(w, "terminals", "dead");
        Assert.Equal("through:terminals", BenchedSet.Advise(w, Sheet).Moves.Single(b => b.Id == "mend").Moves[0].Id);
    }

    [Fact]
    public void What_exchange_cleared_leaves_the_rest()
    {
        var w = Proved();
        InMule(w, "intercom", "good");
        var advice = BenchedSet.Advise(w, Sheet);
        Assert.DoesNotContain(advice.Moves, b => b.Id == "exchange");
        Assert.Equal("through:terminals", advice.Moves.Single(b => b.Id == "mend").Moves[0].Id);
        // Once it is gone through, a new proof is to tell.
        w.Must(new Mended("J", "J-terminals", null, null, "door-out-1", MendWords.GoneThrough, 0.95, 90));
        Assert.DoesNotContain(BenchedSet.Advise(w, Sheet).Moves.SelectMany(b => b.Moves), m => m.Id.StartsWith("through:", StringComparison.Ordinal));
    }

    [Fact]
    public void What_all_looks_leave_to_a_fault_nobody_listed_is_gone_through_and_not_proved_on()
    {
        // Nothing is to be had from the intercom board, and its relay and preamplifier are sound.
        string[] talk = [.. Steps.Select(s => s.Check!).Where(c => c.StartsWith("fn-talk-", StringComparison.Ordinal) || c.StartsWith("fn-door-talk-", StringComparison.Ordinal))];
        Act[] acts =
        [
            .. Steps.Select(s => new Proved("J", s.Id, talk.Contains(s.Check) ? "failed" : "shown", null, null, null)),
            new Unpowered("J", "S"), BenchedSet.Saw(Sheet, "relay-coil", "good"), new Powered("J", "S", "limited", null), BenchedSet.Saw(Sheet, "inject-preamp", "good"),
        ];
        var advice = BenchedSet.After(Sheet, acts);
        var through = advice.Moves.Single(b => b.Id == "mend").Moves[0];
        Assert.Equal("through:intercom", through.Id);
        Assert.Equal("mend now", advice.StoppingWord);
        // Twice in vain is enough.
        Act gone = new Mended("J", "J-intercom", null, null, "other", MendWords.GoneThrough, 0.95, 90);
        var again = BenchedSet.After(Sheet, [.. acts, gone, .. acts, gone, .. acts]);
        Assert.DoesNotContain(again.Moves.SelectMany(b => b.Moves), m => m.Id == "through:intercom");
    }

    [Fact]
    public void What_the_sheet_explains_is_not_exchanged()
    {
        var w = BenchedSet.Of(Sheet, "limited", []);
        w.Must(new SystemSetUp("mule", null, Sheet.Id, None));
        foreach (var s in Steps) w.Must(new Proved("J", s.Id, s.Check is "fn-chime-1" or "fn-chime-2" ? "failed" : "shown", null, null, null));
        Assert.DoesNotContain(BenchedSet.Advise(w, Sheet).Moves, b => b.Id == "exchange");
        Assert.DoesNotContain(BenchedSet.Advise(BenchedSet.Of(Sheet, "limited", []), Sheet).Moves, b => b.Id == "exchange");
    }
}
