using Bellwire.Workshop;

namespace Core.Tests.Workshop;

/// <summary>The ledger kept the plain way, as a judge: flat strings, its own order of entries, no laws.</summary>
internal sealed class PlainLedger
{
    public Dictionary<string, string> Place { get; } = [];
    public Dictionary<string, string> Owner { get; } = [];
    public HashSet<string> Packed { get; } = [];

    public static PlainLedger Of(IReadOnlyList<Entry> recorded)
    {
        // Late entries: inserted one by one behind their anchor and whatever already hangs on it.
        var order = new List<Entry>();
        foreach (var e in recorded)
        {
            if (e.After is not { } anchor) { order.Add(e); continue; }
            var at = order.FindIndex(o => o.Number == anchor) + 1;
            while (at < order.Count && HangsOn(order[at], anchor, recorded)) at++;
            order.Insert(at, e);
        }
        var ledger = new PlainLedger();
        foreach (var e in order.Where(e => Stands(e, recorded))) ledger.Take(e.Act);
        return ledger;
    }

    private static bool HangsOn(Entry e, long anchor, IReadOnlyList<Entry> all) =>
        e.After is { } a && (a == anchor || HangsOn(all[(int)a - 1], anchor, all));

    /// <summary>An entry stands unless a standing strike names it.</summary>
    private static bool Stands(Entry e, IReadOnlyList<Entry> all) =>
        !all.Any(s => s.Act is Struck k && k.Entry == e.Id && s.Number > e.Number && Stands(s, all));

    private void Take(Act act)
    {
        switch (act)
        {
            case PieceRecorded a: Place[a.Piece] = a.Place; Owner[a.Piece] = a.Owner; break;
            case SystemSetUp a: foreach (var (position, piece) in a.Pieces) Place[piece] = $"{a.System}/{position}"; break;
            case Fitted a: Place[a.Piece] = $"{a.System}/{a.Position}"; break;
            case Pulled a: Place[a.Piece] = a.Place ?? "bench"; break;
            case HookUpRepaired a:
                foreach (var (piece, place) in Place.ToList())
                    if (place.StartsWith(a.System + "/", StringComparison.Ordinal) && !a.Pieces.ContainsValue(piece)) Place[piece] = a.Where ?? "bench";
                foreach (var (position, piece) in a.Pieces) Place[piece] = $"{a.System}/{position}";
                break;
            case PieceMoved a: Place[a.Piece] = a.Place; break;
            case Returned a: Place[a.Piece] = a.Place; break;
            case PackedPiece a: Packed.Add(a.Piece); break;
            case OwnershipMoved { How: "scrap" } a: Place[a.Piece] = "scrapped"; break;
            case OwnershipMoved a: Owner[a.Piece] = a.To; break;
        }
    }
}
