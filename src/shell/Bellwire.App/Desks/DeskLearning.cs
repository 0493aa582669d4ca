using System.Collections.Concurrent;
using Bellwire.Counsel;
using Bellwire.Sheets;
using Bellwire.Workshop;

namespace Bellwire.App.Desks;

/// <summary>Learning from closed jobs: reckoned beside the pages, taken up by an entry, and pinned to the jobs begun after it.</summary>
public sealed partial class Desk
{
    private readonly ConcurrentDictionary<string, Beside<LearnedOdds>> reckonings = new(StringComparer.Ordinal);
    private (long Head, ConcurrentDictionary<(string Hash, string Version), TypeSheet> Sheets) learnt = (-1, new());

    /// <summary>The version a job of the family would begin with now: "1" for the sheet's own.</summary>
    public string OddsVersionOf(string sheet) => State.OddsNow.GetValueOrDefault(sheet) is { } now && LearnedOdds.Holds(State, now) ? now : "1";

    /// <summary>From how many closed jobs the odds of this one were learned; 0 when it goes by the sheet's own.</summary>
    public int LearnedFor(string job) => Job(job).OddsVersion is var version && LearnedOdds.Holds(State, version) ? State.Odds[version].Closings.Length : 0;

    /// <summary>The last reckoning of a family over the closings as they stand; null when there was none.</summary>
    public Beside<LearnedOdds>? ReckoningOf(TypeSheet sheet) => reckonings.TryGetValue(sheet.Id, out var known) && known.Key == KeyOf(sheet) ? known : null;

    /// <summary>Begins to weigh the closed jobs again; one that runs already is left to it.</summary>
    public Beside<LearnedOdds> Reckon(TypeSheet sheet)
    {
        if (ReckoningOf(sheet) is { } running && !running.Stopped) return running;
        var state = State;
        var fresh = new Beside<LearnedOdds>(KeyOf(sheet), (tell, cancel) => LearnedOdds.Of(state, sheet, progress: tell, cancel: cancel));
        if (reckonings.TryGetValue(sheet.Id, out var old)) old.Stop();
        return reckonings[sheet.Id] = fresh;
    }

    private string KeyOf(TypeSheet sheet) => string.Join(",", State.Effective.Where(e => e.Act is JobClosed or ComebackOf).Select(e => e.Id)) + sheet.Hash;

    private TypeSheet SheetOf(JobState job)
    {
        var sheet = sheets.For(job);
        if (job.OddsVersion == "1") return sheet;
        var state = State;
        // One object for each version while nothing is entered or struck: a weighed tape is only gone on with by the very same family.
        var known = learnt;
        if (known.Head != state.Head) learnt = known = (state.Head, KeptWhere(known.Sheets, v => LearnedOdds.Holds(state, v)));
        return known.Sheets.GetOrAdd((sheet.Hash, job.OddsVersion), _ => LearnedOdds.InForce(state, job, sheet));
    }

    private static ConcurrentDictionary<(string Hash, string Version), TypeSheet> KeptWhere(ConcurrentDictionary<(string Hash, string Version), TypeSheet> all, Func<string, bool> holds) =>
        new(all.Where(s => holds(s.Key.Version)));
}
