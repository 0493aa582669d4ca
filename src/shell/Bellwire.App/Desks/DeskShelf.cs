using System.Collections.Immutable;
using Bellwire.Counsel;
using Bellwire.Sheets;
using Bellwire.Workshop;

namespace Bellwire.App.Desks;

/// <summary>What the shelf and the record of past work show.</summary>
public sealed partial class Desk
{
    private readonly Dictionary<string, (string Key, LearnedOdds Odds)> learned = [];
    private readonly Lock learning = new();

    /// <summary>What a shop's piece went through on a job, handed on: an act for the same deed that takes it off the job; null when the job never had it in a hook-up.</summary>
    public TrustHandedOn? HandOn(string job, string piece)
    {
        var weighed = Think(job).Weighed;
        return Handing.On(State, job, piece, SheetOf(job), weighed);
    }

    public IReadOnlyList<DonorLine> Donors() => DonorLine.Of(State, sheets.All);

    /// <summary>What the closed jobs of a family have taught; reckoned once for each set of closings.</summary>
    /// <param name="reckon">False: only when it was reckoned already; null otherwise. Reckoning takes some seconds a job.</param>
    public LearnedOdds? Learned(TypeSheet sheet, bool reckon, CancellationToken stop = default)
    {
        var state = State;
        var key = string.Join(",", state.Effective.Where(e => e.Act is JobClosed or ComebackOf).Select(e => e.Id)) + sheet.Hash;
        lock (learning)
        {
            if (learned.TryGetValue(sheet.Id, out var known) && known.Key == key) return known.Odds;
            if (!reckon) return null;
            var odds = LearnedOdds.Of(state, sheet, cancel: stop);
            learned[sheet.Id] = (key, odds);
            return odds;
        }
    }

    public IReadOnlyList<PastJob> Past() => PastJob.Of(State);
}
