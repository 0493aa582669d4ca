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

    private string ClashKey(string job) => string.Create(CultureInfo.InvariantCulture, $"{State.Head} {SheetOf(job).Hash}");
}
