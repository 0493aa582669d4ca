namespace Bellwire.Workshop;

public static partial class Law
{
    private static readonly string[] Origins = ["new", "used", "donor", "core"], TrustHows = ["marginal", "proved", "estimate"];

    /// <summary>Laws of the shelf and of what goes on between jobs.</summary>
    private static Verdict.Refused? Shelf(ShopState s, PlainAct act) => act switch
    {
        TrustHandedOn a => Piece(s, a.Piece) ?? (s.Pieces[a.Piece].Owner == Party.Shop ? null : No($"{Called(s, a.Piece)} belongs to {s.Pieces[a.Piece].Owner}; the shop keeps trust of its own."))
            ?? (a.Before is >= 0 and <= 1 ? null : No($"Before: {a.Before} is outside 0 to 1.")) ?? (a.After is >= 0 and <= 1 ? null : No($"After: {a.After} is outside 0 to 1."))
            ?? (TrustHows.Contains(a.How) ? null : No($"“{a.How}” is not a way to come by trust: {string.Join(", ", TrustHows)}.")),
        OriginNoted a => Piece(s, a.Piece) ?? (Origins.Contains(a.Origin) ? null : No($"“{a.Origin}” is not an origin: {string.Join(", ", Origins)}.")) ?? (a.Donor is null || s.Donors.ContainsKey(a.Donor) ? null : No($"There is no donor {a.Donor}.")),
        RevisionNoted a => Piece(s, a.Piece) ?? (a.Revision is { Length: >= 1 and <= 12 } ? null : No($"Revision: “{a.Revision}” has not 1 to 12 letters.")),
        Reserved a => Piece(s, a.Piece) ?? (s.Pieces[a.Piece].Owner == Party.Shop ? null : No($"{Called(s, a.Piece)} belongs to {s.Pieces[a.Piece].Owner}; only the shop's own is reserved."))
            ?? (a.For is null || s.CardOf(a.Piece).ReservedFor is not { } other || other == a.For ? null : No($"{Called(s, a.Piece)} is reserved for job {other}. Free it first.")),
        DonorKept a => Name(a.Donor, "donor") ?? (s.Donors.ContainsKey(a.Donor) ? No($"There is a donor {a.Donor} already.") : null),
        TakenOut a => Piece(s, a.Piece) ?? (s.Donors.TryGetValue(a.Donor, out var donor) ? null : No($"There is no donor {a.Donor}."))
            ?? (donor!.Left.TryGetValue(a.Position, out var kind) ? null : No($"{a.Position} of {donor.Name} is empty or was never in it."))
            ?? (kind == s.Pieces[a.Piece].Kind ? null : No($"{a.Position} of {donor.Name} held a {kind}; {Called(s, a.Piece)} is a {s.Pieces[a.Piece].Kind}."))
            ?? (s.Donors.Values.Any(d => d.Taken.ContainsValue(a.Piece)) ? No($"{Called(s, a.Piece)} came out of a donor already.") : null),
        OddsAdopted a => Name(a.SheetId, "sheet") ?? (a.Odds.IsDefaultOrEmpty ? No("No odds are given.") : null)
            ?? (a.Closings.IsDefaultOrEmpty ? No("No closing is named that they were learned from.") : null)
            ?? (a.Odds.FirstOrDefault(o => !(o.Odds is >= 0 and < 1)) is { } off ? No($"Odds of {off.Site} {off.Mode}: {off.Odds} is outside 0 to below 1.") : null),
        SoakEnded a => (a.Hours is >= 0 and < 10_000 ? null : No($"Hours: {a.Hours} is outside 0 to 10 000.")) ?? (a.Listened >= 0 && a.Listened <= a.Hours + 0.1 ? null : No($"Listened: {a.Listened} hours is more than it ran."))
            ?? (a.Events >= 0 ? null : No($"Events: {a.Events} is below nothing.")),
        ComesAndGoes a => (a.Times >= 1 ? null : No($"Times: {a.Times}; it showed once at least.")) ?? (a.Weeks is > 0 and <= 1000 ? null : No($"Weeks: {a.Weeks} is outside 0 to 1 000."))
            ?? (a.HoursAWeek is > 0 and <= 168 ? null : No($"Hours a week: {a.HoursAWeek} is outside 0 to 168.")),
        SoundKept a => (a.ContentHash is { Length: 64 } ? null : No("The recording is not named by its hash.")) ?? (string.IsNullOrWhiteSpace(a.Said) ? No("Say what the recording told.") : null)
            ?? (a.Uncertainty is null or >= 0 ? null : No($"Uncertainty: {a.Uncertainty} is below nothing.")),
        ComebackOf a => Job(s, a.Earlier) ?? (a.Earlier == a.Job ? No("A job is not its own comeback.") : null)
            ?? (s.Jobs[a.Earlier].Opened <= s.Jobs[a.Job].Opened ? null : No($"Job {a.Earlier} is younger than job {a.Job}.")),
        Freighted a => (a.Way is "here" or "home" ? null : No($"Way: “{a.Way}” is not here or home.")) ?? (a.Stage is "sent" or "arrived" ? null : No($"Stage: “{a.Stage}” is not sent or arrived.")),
        _ => null,
    };

    /// <summary>Kept for another job: a reason carries it.</summary>
    private static Verdict.Refused? Kept(ShopState s, string piece, string? job, string? reason) =>
        s.CardOf(piece) is { ReservedFor: { } other } card && other != job && string.IsNullOrWhiteSpace(reason)
            ? No($"{Called(s, piece)} is reserved for job {other}{(card.ReservedWhy is null ? "" : $" ({card.ReservedWhy})")}.", overridable: true) : null;

    /// <summary>The letter on the piece that sat there first decides what fits: a reason carries it.</summary>
    private static Verdict.Refused? Revision(ShopState s, Fitted a)
    {
        if (!s.Systems[a.System].Homes.TryGetValue(a.Position, out var first) || first == a.Piece || !string.IsNullOrWhiteSpace(a.OverrideReason)) return null;
        var (there, comes) = (s.CardOf(first), s.CardOf(a.Piece));
        return comes.TakesPlaceOf(there) ? null : No($"{Called(s, a.Piece)} is revision {comes.Revision}; {a.Position} had {there.Revision}, whose place it does not take.", overridable: true);
    }
}
