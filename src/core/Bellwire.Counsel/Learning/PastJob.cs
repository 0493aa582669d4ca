using Bellwire.Workshop;

namespace Bellwire.Counsel;

/// <summary>A closed job, as the plots of past work want it.</summary>
/// <param name="MinutesPerMend">Minutes on the tape over the mends made; null when none was.</param>
/// <param name="CameBack">A later job says it is the same set again.</param>
public sealed record PastJob(string Job, string? SheetId, string Ending, DateTimeOffset Closed, double Minutes, int Mends, double? MinutesPerMend, bool CameBack)
{
    /// <summary>In the order they were closed.</summary>
    public static IReadOnlyList<PastJob> Of(ShopState state)
    {
        ArgumentNullException.ThrowIfNull(state);
        return [.. from e in state.Effective
            let close = e.Act as JobClosed
            where close is not null
            let job = state.Jobs[close.Job]
            let mends = state.TapeOf(close.Job).Count(x => x.Act is Mended m && m.Job == close.Job)
            select new PastJob(job.Id, job.SheetId, close.Ending, e.Done ?? e.Entered, job.Minutes, mends, mends == 0 ? null : job.Minutes / mends, state.Comebacks.Values.Contains(job.Id))];
    }

    /// <summary>Share of comebacks among the jobs closed up to each, 0..1, in the same order.</summary>
    public static IReadOnlyList<double> Comebacks(IReadOnlyList<PastJob> past)
    {
        ArgumentNullException.ThrowIfNull(past);
        var back = 0;
        return [.. past.Select((p, i) => (double)(back += p.CameBack ? 1 : 0) / (i + 1))];
    }
}
