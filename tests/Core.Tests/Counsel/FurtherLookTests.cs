using System.Collections.Immutable;
using Bellwire.Counsel;
using Bellwire.Sheets;
using Bellwire.Workshop;
using Core.Tests.Sheets;
using Core.Tests.Workshop;

namespace Core.Tests.Counsel;

/// <summary>The leaders looked at again by what is spent until a passed proof. What a technician would do: common practice, no source.</summary>
public class FurtherLookTests
{
    private static readonly TypeSheet Sheet = ShippedFiles.Read("corridor-nine");

    [Fact]
    public void Every_figure_is_its_own_minutes_and_what_follows()
    {
        var (_, _, advice, ahead) = Look([new OwnerTold("J", "told-life", "dead", null)], []);
        Assert.True(ahead.Depth >= 2);
        // Cheapest first, but nothing is turned over for a minute or two.
        Assert.All(ahead.Moves.Zip(ahead.Moves.Skip(1)), m => Assert.True(m.First.Minutes <= m.Second.Minutes + Math.Max(2, 0.02 * ahead.Moves.Min(x => x.Minutes)) + 1e-9));
        var proof = Sheet.Proof.Where(p => p.Minutes <= 30).Sum(p => p.Minutes);
        foreach (var move in ahead.Moves.Where(m => m.Then.Length > 0))
        {
            Assert.Equal(1, move.Then.Sum(t => t.P), 1e-6);
            var rest = move.Minutes - move.Then.Sum(t => t.P * t.Minutes);
            var line = advice.Moves.SelectMany(b => b.Moves).FirstOrDefault(m => m.Id == move.Id);
            // Its own minutes at least; set-up and risk at most on top. What follows was looked at one act less far.
            if (line is not null && line.Kind != "mend") Assert.InRange(rest, line.Minutes - 0.15 * move.Minutes, line.Minutes + line.LossMinutes + 10 + 0.15 * move.Minutes);
            // Nothing ends without a passed proof.
            Assert.True(move.Minutes >= proof - 1e-9, $"{move.Words}: {move.Minutes}");
        }
    }

    [Fact]
    public void A_fault_seen_is_mended_first_and_a_set_that_does_everything_is_proved()
    {
        // A reservoir seen dry hides nothing and was blown by nothing: it is mended.
        var (_, _, _, open) = Look([new OwnerTold("J", "told-hum", "buzz", null)], [new Checked("J", "S", "esr-reservoir", "dry", None, None, 1)]);
        Assert.StartsWith("mend:J-supply.reservoir", open.Moves[0].Id, StringComparison.Ordinal);
        var (_, _, _, good) = Look([], [.. Sheet.Functions.Select(f => Sheet.Checks.First(c => c.Id == f.Check)).Where(c => c.TargetKind == "signal").Select(c => new Checked("J", "S", c.Id, c.Outcomes[0], c.Throws, None, null))]);
        Assert.Equal("prove", good.Moves[0].Id);
        Assert.True(good.Minutes < open.Minutes);
    }

    [Fact]
    public void It_looks_as_far_as_there_is_time_and_stops_when_told()
    {
        var (world, weighed, advice, full) = Look([new OwnerTold("J", "told-life", "dead", null)], []);
        using var over = new CancellationTokenSource();
        over.Cancel();
        var little = FurtherLook.Of(world.State, "J", Sheet, weighed, advice, enough: over.Token)!;
        Assert.True(little.Depth <= full.Depth);
        Assert.False(little.Whole);
        Assert.NotEmpty(little.Moves);
        Assert.Throws<OperationCanceledException>(() => FurtherLook.Of(world.State, "J", Sheet, weighed, advice, cancel: over.Token));
    }

    internal static readonly ImmutableDictionary<string, string> None = ImmutableDictionary<string, string>.Empty;

    internal static ShopWorld Set(Act[] told, Act[] seen)
    {
        var w = new ShopWorld();
        w.Must(new JobOpened("J", new("p"), Sheet.Id, Sheet.Hash, new(Sheet.Era, Sheet.Feed, 3, 2, [])));
        foreach (var act in told) w.Must(act);
        foreach (var p in Sheet.Positions.Where(p => p.TravelsByPost && !p.House)) w.Must(new PieceRecorded("J-" + p.Id, p.Kind, p.Name, "owner:J", "J", Places.Bench, null, null));
        w.Must(new SystemSetUp("S", "J", null, Sheet.Positions.Where(p => p.TravelsByPost && !p.House).ToImmutableDictionary(p => p.Id, p => "J-" + p.Id)));
        // A tie is to the word just given, about the quote before it.
        foreach (var act in seen) w.Must(act is WordTied tie ? tie with { Word = $"e{w.Recorded.Count}", Quote = $"e{w.Recorded.Count - 1}" } : act);
        return w;
    }

    internal static (ShopWorld World, Weighed Weighed, Advice Advice, WayAhead Ahead) Look(Act[] told, Act[] seen)
    {
        var w = Set(told, seen);
        var weighed = Counsellor.Weigh(w.State, "J", Sheet);
        var advice = Counsellor.Advise(w.State, "J", Sheet, _ => null, null, weighed);
        return (w, weighed, advice, FurtherLook.Of(w.State, "J", Sheet, weighed, advice, further: new(Depth: 2, Steps: 600))!);
    }
}
