using System.Collections.Immutable;
using Bellwire.Counsel;
using Bellwire.Sheets;
using Bellwire.Workshop;

namespace Bellwire.App.Desks;

/// <summary>What the shelf and the record of past work show.</summary>
public sealed partial class Desk
{
    /// <summary>What a shop's piece went through on a job, handed on: an act for the same deed that takes it off the job; null when the job never had it in a hook-up.</summary>
    public TrustHandedOn? HandOn(string job, string piece)
    {
        var weighed = Think(job).Weighed;
        return Handing.On(State, job, piece, SheetOf(job), weighed);
    }

    public IReadOnlyList<DonorLine> Donors() => DonorLine.Of(State, sheets.All);

    public IReadOnlyList<PastJob> Past() => PastJob.Of(State);
}
