using System.Collections.Concurrent;
using System.Collections.Immutable;
using System.Globalization;
using Bellwire.Counsel;

namespace Bellwire.App.Desks;

/// <summary>What was seen by looking further: the leaders again, and when to stop.</summary>
public sealed record FurtherSight(WayAhead? Ahead, ImmutableArray<StopLine> Stops);

/// <summary>The leaders of the ranking looked at again, beside the page that shows the first ranking at once.</summary>
public sealed partial class Desk
{
    /// <summary>Looked no longer than this: the depth finished by then is shown.</summary>
    private static readonly TimeSpan LongestAhead = TimeSpan.FromSeconds(4);

    private readonly ConcurrentDictionary<string, Beside<FurtherSight>> aheads = new(StringComparer.Ordinal);

    /// <summary>The look ahead over the tape as it stands, begun when nobody has yet; one over an older tape is given up.</summary>
    /// <param name="again">Begin once more what was stopped.</param>
    public Beside<FurtherSight> AheadOf(string job, bool again = false)
    {
        var key = string.Create(CultureInfo.InvariantCulture, $"{State.Head} {SheetOf(job).Hash}"); // the whole shelf is in its moves
        if (aheads.TryGetValue(job, out var old))
        {
            if (old.Key == key && !(again && old.Stopped)) return old;
            old.Stop();
        }
        var (state, sheet, options, advice) = (State, SheetOf(job), new AdviceOptions { Forecasts = forecasts }, Advice(job));
        return aheads[job] = new(key, (tell, cancel) =>
        {
            using var enough = new CancellationTokenSource(LongestAhead, time);
            // Weighed afresh, so that what is tried out here neither waits for the pages nor keeps them waiting, and is gone afterwards.
            return Further.See(state, job, sheet, Counsellor.Weigh(state, job, sheet, options, null, cancel), advice, options, cancel, enough.Token, tell);
        });
    }
}

/// <summary>The look ahead and the words for stopping that rest on it.</summary>
internal static class Further
{
    public static FurtherSight See(Workshop.ShopState state, string job, Sheets.TypeSheet sheet, Weighed weighed, Advice advice, AdviceOptions options,
        CancellationToken cancel, CancellationToken enough, Action<int, int>? tell = null)
    {
        var ahead = FurtherLook.Of(state, job, sheet, weighed, advice, options, null, cancel, enough, tell);
        var spread = weighed.Weighing.Posterior is null ? null : PriceSpread.Of(state, job, sheet, weighed, new ShopTerms(), PriceSpread.Looks(weighed, advice));
        return new(ahead, Stops.Of(state, job, sheet, weighed, advice, spread, ahead, options));
    }
}
