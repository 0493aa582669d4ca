using System.Collections.Immutable;
using System.Globalization;
using Bellwire.Counsel.Mends;
using Bellwire.Workshop;

namespace Bellwire.Counsel;

/// <summary>A job in four phrases, as one would answer "how is that set?": derived from the tape, never set by hand.</summary>
/// <param name="Where">Where the set is and how far it has come.</param>
/// <param name="Awaited">Whose word or hand is awaited.</param>
public sealed record JobGlance(string Job, string Where, string Awaited, bool Closed, DateTimeOffset LastTouched, double Minutes)
{
    /// <param name="today">The day against which a parking is read.</param>
    public static JobGlance Of(ShopState shop, JobState job, DateOnly today)
    {
        var tape = shop.TapeOf(job.Id).Select(e => e.Act).ToList();
        var pieces = shop.Pieces.Values.Where(p => p.Job == job.Id && !p.Gone && p.Where.Place != "house").ToList();
        return new(job.Id, WhereOf(shop, job, tape, pieces, today), AwaitedOf(job, tape, pieces, today),
            job.Ending is not null, job.LastTouched, job.Minutes);
    }

    private static string WhereOf(ShopState shop, JobState job, List<Act> tape, List<PieceState> pieces, DateOnly today)
    {
        if (job.Ending is { } ending) return $"closed: {ending}";
        if (job.CartonClosed) return "in the carton, ready to go home";
        if (IsParked(job, today)) return $"parked{(job.ParkedUntil is { } until ? $" till {until.ToString("d MMMM", CultureInfo.InvariantCulture)}" : "")}: {job.ParkedWhy}";
        if (pieces.Count == 0) return "still in the owner’s house; the story is told";
        if (pieces.Any(p => p.Packed)) return $"being packed: {pieces.Count(p => p.Packed)} of {Count(pieces.Count, "piece")} in the carton";
        var tried = ProofPlan.Standing(tape).Tried.Values;
        var (shown, failed) = (tried.Count(p => p.Outcome == "shown"), tried.Count(p => p.Outcome == "failed"));
        if (shown + failed > 0) return $"being proved: {(shown == 0 ? "no function" : Count(shown, "function"))} shown{(failed == 0 ? "" : $", {failed} failed")}";
        var system = job.System is { } id ? shop.Systems.GetValueOrDefault(id) : null;
        var looked = tape.Count(a => a is Checked or ReadingTaken or GridChecked);
        // A piece gone through as a whole is one mend, however many places the tape names.
        var mends = tape.OfType<Mended>().Count(m => m.What is not (MendWords.GoneThrough or MendWords.Cleaned)) + tape.OfType<Mended>().Where(m => m.What == MendWords.GoneThrough).Select(m => m.Piece).Distinct().Count();
        if (system is { Powered: true }) return $"on the bench and under power ({system.Feed})";
        if (mends > 0) return $"on the bench, {Count(mends, "mend")} made";
        return looked > 0 ? $"on the bench, {Count(looked, "look")} taken" : $"here, {Count(pieces.Count, "piece")} unpacked";
    }

    private static string AwaitedOf(JobState job, List<Act> tape, List<PieceState> pieces, DateOnly today)
    {
        if (job.Ending is not null) return "nobody";
        if (IsParked(job, today)) return job.ParkedUntil is null ? "somebody to take it up again" : "that day";
        if (job.CartonClosed) return "the carrier";
        if (pieces.Count == 0) return "the owner, to send it";
        if (job.Missing.Length > 0) return $"the owner, about {(job.Missing.Length == 1 ? job.Missing[0].Name : Count(job.Missing.Length, "missing piece"))}";
        return tape.OfType<OwnerWord>().LastOrDefault() is { Yes: false, About: var about } ? $"the owner, who said no to {about}" : "you";
    }

    private static bool IsParked(JobState job, DateOnly today) => job.ParkedWhy is not null && (job.ParkedUntil is null || job.ParkedUntil > today);

    private static string Count(int n, string word) => n == 1 ? $"1 {word}" : $"{n} {word}s";
}
