using System.Collections.Immutable;
using Bellwire.Counsel;
using Bellwire.Workshop;

namespace Core.Tests.Counsel;

/// <summary>Where a set is said to be follows from its tape alone.</summary>
public class JobGlanceTests
{
    private static readonly DateOnly Today = new(2026, 3, 2);
    private static readonly DateTimeOffset Then = new(2026, 3, 1, 9, 0, 0, TimeSpan.Zero);

    private static JobState Job(string? ending = null, string? parkedWhy = null, DateOnly? until = null, bool carton = false) => new(
        "j1", new Personal("owner"), null, null, new SetOutline("microprocessor", "transformer", 3, 1, []), "s1",
        ImmutableDictionary<string, HardwareState>.Empty, [], carton, ending, until, parkedWhy, Then, Then, 0);

    private static ShopState Shop(bool powered = false, bool packed = false, params Act[] acts) => ShopState.Empty with
    {
        Pieces = ImmutableDictionary<string, PieceState>.Empty.Add("p1", new PieceState(
            "p1", "amp", "amplifier", "owner:j1", "j1", null, Whereabouts.In("s1", "amp"), null, null, false, null, packed, false)),
        Systems = ImmutableDictionary<string, SystemState>.Empty.Add("s1", new SystemState("s1", "j1", null, ImmutableDictionary<string, string>.Empty, powered, "lamp", null)),
        Effective = [.. acts.Select((a, i) => new Entry(i + 1, "e" + i, Then, null, null, ["j1"], ["job:j1"], a, "", ""))],
    };

    [Fact]
    public void Nothing_has_come_yet() => Assert.Equal(
        ("still in the owner’s house; the story is told", "the owner, to send it"), Said(ShopState.Empty, Job()));

    [Fact]
    public void Pieces_have_come() => Assert.Equal(("here, 1 piece unpacked", "you"), Said(Shop(), Job()));

    [Fact]
    public void Under_power_says_the_feed() => Assert.Equal("on the bench and under power (lamp)", Said(Shop(powered: true), Job()).Where);

    [Fact]
    public void A_proved_function_outranks_the_mend_before_it() => Assert.Equal("being proved: 1 function shown", Said(Shop(acts:
        [new Mended("j1", "p1", null, null, "output", "new part", 0.9, 20), new Proved("j1", "music", "shown", null, null, null)]), Job()).Where);

    [Fact]
    public void A_failed_step_is_not_shown_and_a_mend_undoes_what_was()
    {
        Act[] proof = [new Proved("j1", "music", "shown", null, null, null), new Proved("j1", "chime", "failed", null, null, null), new Proved("j1", "aux", "failed", null, null, null)];
        Assert.Equal("being proved: 1 function shown, 2 failed", Said(Shop(acts: proof), Job()).Where);
        Assert.Equal("being proved: no function shown, 1 failed", Said(Shop(acts: proof[1]), Job()).Where);
        var mend = new Mended("j1", "p1", null, null, "output", "new part", 0.9, 20);
        Assert.Equal("on the bench, 1 mend made", Said(Shop(acts: [.. proof, mend]), Job()).Where);
        Assert.Equal("being proved: 1 function shown", Said(Shop(acts: [.. proof, mend, proof[0]]), Job()).Where);
    }

    [Fact]
    public void A_piece_gone_through_is_one_mend() => Assert.Equal("on the bench, 1 mend made", Said(Shop(acts:
        [new Mended("j1", "p1", null, null, "output", "gone through", 0.95, 90), new Mended("j1", "p1", null, null, "driver", "gone through", 0.95, 0), new Mended("j1", null, "s1", "amp", "contact", "cleaned", 0.95, 0)]), Job()).Where);

    [Fact]
    public void Parked_till_a_later_day_and_no_longer_on_the_day()
    {
        Assert.Equal(("parked till 3 March: waiting for a belt", "that day"), Said(Shop(), Job(parkedWhy: "waiting for a belt", until: new(2026, 3, 3))));
        Assert.Equal("here, 1 piece unpacked", Said(Shop(), Job(parkedWhy: "waiting for a belt", until: Today)).Where);
    }

    [Fact]
    public void An_ending_outranks_everything() => Assert.Equal(("closed: returned unsolved", "nobody"), Said(Shop(powered: true, packed: true), Job(ending: "returned unsolved", carton: true)));

    private static (string Where, string Awaited) Said(ShopState shop, JobState job)
    {
        var glance = JobGlance.Of(shop, job, Today);
        return (glance.Where, glance.Awaited);
    }
}
