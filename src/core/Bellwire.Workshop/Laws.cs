using System.Collections.Immutable;

namespace Bellwire.Workshop;

public static partial class Law
{
    private static string Called(ShopState s, string piece) => s.Pieces.TryGetValue(piece, out var p) ? $"{p.Name} ({piece})" : piece;

    private static Verdict.Refused? Name(string id, string what) =>
        string.IsNullOrWhiteSpace(id) || id.Length > 80 || id.Any(c => !(char.IsLetterOrDigit(c) || c is '-' or '_' or '.' or ':'))
            ? No($"“{id}” will not do as the name of a {what}: letters, digits, - _ . : and at most 80 of them.") : null;

    private static Verdict.Refused? Job(ShopState s, string id) => s.Jobs.ContainsKey(id) ? null : No($"There is no job {id}.");

    private static Verdict.Refused? Open(ShopState s, string id) =>
        s.Jobs[id].CartonClosed ? No($"The carton of job {id} is closed. Strike the closing to open it again.") : null;

    /// <summary>What to do first where a set is asked for and a job has none.</summary>
    public const string NotOnTheBench = "No set of this job stands on the bench yet: record what came on Unpack and set it up there.";

    /// <summary>The set of a job that is still in the house goes by the name “set:JOB”: its moves are proposed before it comes.</summary>
    public static string SetInTheHouse(string job) => "set:" + job;

    private static Verdict.Refused? System(ShopState s, string id) => s.Systems.ContainsKey(id) ? null
        : s.Jobs.Values.Any(j => j.System is null && SetInTheHouse(j.Id) == id) ? No(NotOnTheBench) : No($"There is no set {id}. A set is set up on Unpack before anything is recorded of it.");

    private static Verdict.Refused? Piece(ShopState s, string id) =>
        !s.Pieces.TryGetValue(id, out var p) ? No($"There is no piece {id}.") : p.Gone ? No($"{Called(s, id)} is gone ({p.Where}).") : null;

    private static Verdict.Refused? Loose(ShopState s, string piece) =>
        s.Pieces[piece].Where is { System: not null } w ? No($"{Called(s, piece)} sits in {w}. Pull it first.") : null;

    /// <summary>What sits in a set whose carton is closed is in the carton.</summary>
    private static Verdict.Refused? NotInClosedSet(ShopState s, string piece) =>
        s.Pieces[piece].Where.System is { } system && s.Systems[system].Job is { } job ? Open(s, job) : null;

    private static Verdict.Refused? NotPacked(ShopState s, string piece) =>
        s.Pieces[piece].Packed ? No($"{Called(s, piece)} is packed. Strike the packing to take it out.") : null;

    /// <summary>The shop's own does not end up in an owner's house by being laid there.</summary>
    private static Verdict.Refused? StaysHere(ShopState s, string piece, string? place) =>
        place == Places.House && s.Pieces[piece].Owner == Party.Shop ? No($"{Called(s, piece)} is the shop's own: sell it or give it before it goes to a house.") : null;

    private static Verdict.Refused? Count(int n, string field) => n is < 0 or > 10_000 ? No($"{field}: {n} is outside 0 to 10000.") : null;

    private static Verdict.Refused? Minutes(double? m) => m is { } v && !(v is >= 0 and <= 10_000) ? No($"Minutes: {v} is outside 0 to 10000.") : null;

    private static Verdict.Refused? FromDrawer(ShopState s, PartUsed a)
    {
        if (a.Count is { } n and (< 1 or > 1000)) return No($"Count: {n} is outside 1 to 1000.");
        if (a.OldPart is { } way && !OldParts.Ways.Contains(way)) return No($"Old part: “{way}” is not one of {string.Join(", ", OldParts.Ways)}.");
        if (a.Stock is null) return null;
        if (!s.Parts.TryGetValue(a.Stock, out var part)) return No($"There is no part {a.Stock} in the drawer.");
        return part.Count < (a.Count ?? 1) ? No($"{part.Name}: {part.Count} left in the drawer at {part.Place}, {a.Count ?? 1} wanted. Count the drawer again if that is wrong.") : null;
    }

    private static Verdict.Refused? Recorded(ShopState s, PieceRecorded a)
    {
        if (Name(a.Piece, "piece") is { } bad) return bad;
        if (s.Pieces.ContainsKey(a.Piece)) return No($"There is a piece {a.Piece} already.");
        if (a.Job is not null && Job(s, a.Job) is { } noJob) return noJob;
        if (a.Trust is { } t && !(t is >= 0 and <= 1)) return No($"Trust: {t} is outside 0 to 1.");
        if (a.Owner == Party.Shop) return a.Place == Places.House ? No("The shop's own stands on the shelf or the bench, not in a house.") : null;
        if (a.Job is not null && a.Place != Places.House && Open(s, a.Job) is { } closed) return closed;
        return a.Job is not null && a.Owner == Party.OwnerOf(a.Job) ? null
            : No($"“{a.Owner}” is not an owner here: a piece belongs to the shop or to the owner of the job it came with.");
    }

    private static Verdict.Refused? Ownership(ShopState s, OwnershipMoved a)
    {
        var piece = s.Pieces[a.Piece];
        if (!WaysOfOwnership.Contains(a.How)) return No($"“{a.How}” is not a way of changing owners: {string.Join(", ", WaysOfOwnership)}.");
        if (piece.Packed) return NotPacked(s, a.Piece);
        var toJob = a.To.StartsWith("owner:", StringComparison.Ordinal) ? a.To["owner:".Length..] : null;
        if (a.How != "scrap" && a.To != Party.Shop && (toJob is null || !s.Jobs.ContainsKey(toJob))) return No($"“{a.To}” is not a party: shop, or owner:JOB.");
        if (a.How != "scrap" && a.To == piece.Owner) return No($"{Called(s, a.Piece)} belongs to {a.To} already.");
        if (a.How == "scrap" && Loose(s, a.Piece) is { } sits) return sits;
        // The shop may give away or scrap its own without asking; everything else needs the word of the owner concerned.
        if (piece.Owner == Party.Shop && a.How is "scrap" or "gift") return null;
        var asked = piece.Owner == Party.Shop ? a.To : piece.Owner;
        return Covers(s, a.WordEntry ?? "", asked, a.Piece);
    }

    private static Verdict.Refused? Lending(ShopState s, Lent a)
    {
        var p = s.Pieces[a.Piece];
        if (p.Owner != Party.Shop) return No($"{Called(s, a.Piece)} belongs to {p.Owner}; only the shop's own can be lent.");
        if (p.LentTo is not null) return No($"{Called(s, a.Piece)} is lent to job {p.LentTo}.");
        return Open(s, a.Job) ?? NotPacked(s, a.Piece) ?? (Kept(s, a.Piece, a.Job, null) is { } kept ? kept with { Overridable = false } : null);
    }

    private static Verdict.Refused? SetUp(ShopState s, SystemSetUp a)
    {
        if (Name(a.System, "set") is { } bad) return bad;
        if (s.Systems.ContainsKey(a.System)) return No($"There is a set {a.System} already.");
        if (a.Job is not null && Job(s, a.Job) is { } noJob) return noJob;
        if (a.Job is not null && s.Jobs[a.Job].System is { } has) return No($"Job {a.Job} has its set already ({has}).");
        return Map(s, a.System, a.Pieces, mayMove: false);
    }

    private static Verdict.Refused? Repairing(ShopState s, HookUpRepaired a)
    {
        if (s.Systems[a.System].Job is { } job && s.Jobs[job].CartonClosed) return Open(s, job);
        // What the new map leaves out is laid down: a packed piece is not taken out of the box by the way.
        var leaving = s.Systems[a.System].Pieces.Where(p => a.Pieces.GetValueOrDefault(p.Key) != p.Value).OrderBy(p => p.Key, StringComparer.Ordinal);
        return leaving.Select(p => NotPacked(s, p.Value)).FirstOrDefault(no => no is not null) ?? Map(s, a.System, a.Pieces, mayMove: true);
    }

    private static Verdict.Refused? Map(ShopState s, string system, ImmutableDictionary<string, string> pieces, bool mayMove)
    {
        var twice = pieces.GroupBy(p => p.Value).FirstOrDefault(g => g.Count() > 1);
        if (twice is not null) return No($"{Called(s, twice.Key)} cannot sit in {string.Join(" and ", twice.Select(p => p.Key).Order())} at once.");
        foreach (var (position, piece) in pieces)
        {
            if (string.IsNullOrWhiteSpace(position)) return No("A position needs a name.");
            if (Piece(s, piece) is { } gone) return gone;
            if (s.Pieces[piece].Where == Whereabouts.In(system, position)) continue;
            if (NotPacked(s, piece) is { } packed) return packed;
            if (NotInClosedSet(s, piece) is { } shut) return shut;
            if (!mayMove && Loose(s, piece) is { } sits) return sits;
        }
        return null;
    }

    private static Verdict.Refused? Fitting(ShopState s, Fitted a)
    {
        var piece = s.Pieces[a.Piece];
        var system = s.Systems[a.System];
        if (string.IsNullOrWhiteSpace(a.Position)) return No("A position needs a name.");
        if (Loose(s, a.Piece) is { } sits) return sits;
        if (NotPacked(s, a.Piece) is { } packed) return packed;
        if (system.Pieces.TryGetValue(a.Position, out var there)) return No($"{a.Position} of {a.System} holds {Called(s, there)}. Pull it first, or say how it is wired now.");
        if (system.Job is { } job && s.Jobs[job].CartonClosed) return Open(s, job);
        if (piece.LentTo is { } borrower && system.Job is { } into && borrower != into) return No($"{Called(s, a.Piece)} is lent to job {borrower}. Return it first.");
        var stranger = piece.Owner != Party.Shop && system.Job is not null && piece.Owner != Party.OwnerOf(system.Job);
        if (stranger && string.IsNullOrWhiteSpace(a.OverrideReason)) return No($"{Called(s, a.Piece)} belongs to {piece.Owner}; the set is that of another owner.", overridable: true);
        return Kept(s, a.Piece, system.Job ?? a.Job, a.OverrideReason) ?? Revision(s, a);
    }

    private static Verdict.Refused? Packing(ShopState s, PackedPiece a)
    {
        var p = s.Pieces[a.Piece];
        if (Open(s, a.Job) is { } closed) return closed;
        if (p.Packed) return No($"{Called(s, a.Piece)} is packed already.");
        if (p.Owner == Party.Shop) return No($"{Called(s, a.Piece)} is the shop's own and does not leave unless it is sold.");
        if (p.Owner != Party.OwnerOf(a.Job)) return No($"{Called(s, a.Piece)} belongs to {p.Owner}, not to the owner of job {a.Job}.");
        if (p.Where.Place == Places.House) return No($"{Called(s, a.Piece)} was never sent; it is at the owner's house.");
        return p.Where.System is { } system && s.Systems[system].Job != a.Job ? No($"{Called(s, a.Piece)} still sits in {p.Where}. Pull it first.") : null;
    }

    private static Verdict.Refused? Carton(ShopState s, CartonClosed a)
    {
        if (Open(s, a.Job) is { } closed) return closed;
        var box = Reconciliation.Of(s, a.Job);
        if (box.ShopPiecesInside.Length > 0)
            return new($"The shop's own would leave with it.", [.. box.ShopPiecesInside.Select(p => $"{p.Name} ({p.Id}), {p.Where}")], false);
        if (box.Lent.Length > 0)
            return new("The shop's own is still lent to it. Lay it on the shelf, or sell it.", [.. box.Lent.Select(p => $"{p.Name} ({p.Id}), {p.Where}")], false);
        return box.Open.Length > 0 && string.IsNullOrWhiteSpace(a.OverrideReason)
            ? new("Not everything is accounted for.", box.Open, true) : null;
    }

    private static Verdict.Refused? Closing(ShopState s, JobClosed a)
    {
        if (Job(s, a.Job) is { } noJob) return noJob;
        var job = s.Jobs[a.Job];
        if (!Endings.Contains(a.Ending)) return No($"“{a.Ending}” is not an ending: {string.Join(", ", Endings)}.");
        if (job.Ending is not null) return No($"Job {a.Job} has ended already: {job.Ending}.");
        var box = Reconciliation.Of(s, a.Job);
        if (box.Lent.Length > 0) return new("The shop's own is still lent to it.", [.. box.Lent.Select(p => $"{p.Name} ({p.Id}), {p.Where}")], false);
        var owners = box.ToPack.Length + box.Astray.Length;
        if (a.Ending == "taken as donor")
            return owners > 0 ? new("Pieces still belong to the owner; a donor is given or sold first.", [.. box.ToPack.Concat(box.Astray).Select(p => p.Name)], false) : null;
        return !job.CartonClosed && (owners > 0 || box.Packed.Length > 0) && a.Ending != "abandoned" && string.IsNullOrWhiteSpace(a.OverrideReason)
            ? No("The carton is not closed yet.", overridable: true) : null;
    }
}
