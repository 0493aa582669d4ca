using System.Collections.Immutable;
using Bellwire.Quantities;
using Bellwire.Sheets;
using Bellwire.Workshop;

namespace Bellwire.Counsel;

/// <summary>How many jobs of a family need no parcel at all.</summary>
/// <param name="BySheet">By the sheet's odds: P(nothing that would travel has a lasting fault | something is wrong), 0..1.</param>
/// <param name="Closed">Jobs of the family closed here; <paramref name="Without"/> of them nothing ever came.</param>
/// <param name="Share">Both together: the sheet's odds count as many as <see cref="SheetCounts"/> jobs.</param>
public sealed record ParcelShare(double BySheet, int Closed, int Without, double Share)
{
    /// <summary>Jobs that the sheet's odds are worth (estimate).</summary>
    public const int SheetCounts = 10;

    public string Words => $"Of sets like it {Quantities.Words.Band(Share)} need no parcel: {Quantities.Words.Band(BySheet)} by the sheet’s odds"
        + (Closed == 0 ? ", and none was closed here yet." : $", and of {(Closed == 1 ? "1 job" : $"{Closed} jobs")} closed here {(Without == 0 ? "none did without one" : $"{Without} did without one")}.");

    public static ParcelShare Of(ShopState state, TypeSheet sheet)
    {
        ArgumentNullException.ThrowIfNull(state);
        ArgumentNullException.ThrowIfNull(sheet);
        var came = state.Effective.Select(e => e.Act).OfType<PieceRecorded>().Where(p => p.Job is not null && p.Place != Places.House).Select(p => p.Job!).ToHashSet();
        // An owner who gave up tells nothing of whether a parcel was needed.
        var closed = state.Jobs.Values.Where(j => j.SheetId == sheet.Id && j.Ending is not null and not "abandoned").ToList();
        var without = closed.Count(j => !came.Contains(j.Id));
        var bySheet = BySheetAlone(sheet);
        return new(bySheet, closed.Count, without, (SheetCounts * bySheet + without) / (SheetCounts + closed.Count));
    }

    private static double BySheetAlone(TypeSheet sheet)
    {
        const string any = "any";
        var opened = new JobOpened(any, new Personal(any), sheet.Id, sheet.Hash, new SetOutline(sheet.Era, sheet.Feed, 0, 0, []));
        var state = Replay.Of([new Entry(1, any, DateTimeOffset.UnixEpoch, null, null, [any], [], opened, "", "")]);
        var weighed = Counsellor.Weigh(state, any, sheet);
        var wrong = 1 - weighed.Weighing.Posterior!.NothingWrong;
        return wrong <= 0 ? 1 : Math.Clamp(1 - new SendPlan(state, any, sheet, weighed, false).AnythingToSend / wrong, 0, 1);
    }
}
