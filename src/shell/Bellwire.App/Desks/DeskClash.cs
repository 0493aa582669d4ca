using System.Collections.Concurrent;
using System.Globalization;
using Bellwire.Counsel;

namespace Bellwire.App.Desks;

/// <summary>What is behind a tape that can hardly have happened: reckoned beside the pages, when asked for.</summary>
public sealed partial class Desk
{
    private readonly ConcurrentDictionary<string, Beside<ClashFinding>> clashes = new(StringComparer.Ordinal);

    /// <summary>The last search over the tape as it stands; null when there was none.</summary>
    public Beside<ClashFinding>? ClashOf(string job) => clashes.TryGetValue(job, out var known) && known.Key == ClashKey(job) ? known : null;

    /// <summary>Begins the search; one that runs already is left to it.</summary>
    public void LookBehind(string job)
    {
        if (ClashOf(job) is { Stopped: false }) return;
        if (clashes.TryGetValue(job, out var old)) old.Stop();
        var (state, sheet) = (State, SheetOf(job));
        var options = new AdviceOptions { Forecasts = forecasts };
        clashes[job] = new(ClashKey(job), (tell, cancel) => TapeClash.Explain(state, job, sheet, Text, options, new Telling<ClashProgress>(p => tell(p.Done, p.Of)), cancel));
    }

    /// <summary>What the tape is weighed from, and nothing else: the job's own entries, what any job did to the sets and pieces that its hook-ups held
    /// (a mule's, a shop piece's trust), and the sheet. Not whether its circuits are reckoned yet: they may come while the search goes on, and it is not begun again for that.</summary>
    private string ClashKey(string job)
    {
        var weighed = Think(job);
        var (state, sheet, built) = (State, SheetOf(job), weighed.Weighed.Built.Case);
        HashSet<string> held = [.. built.Pieces.Select(p => "piece:" + p.Id), .. built.Systems.Select(s => "system:" + s.Id)];
        var entries = state.Effective.Where(e => e.Jobs.Contains(job) || e.Entities.Any(held.Contains)).Select(e => e.Number.ToString(CultureInfo.InvariantCulture));
        return $"{sheet.Hash} {string.Join(' ', entries)}";
    }
}
