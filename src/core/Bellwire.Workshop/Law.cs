using System.Collections.Immutable;

namespace Bellwire.Workshop;

/// <summary>What may be recorded. Pure: the same state and act always get the same verdict.</summary>
public static partial class Law
{
    public static readonly ImmutableArray<string> Endings =
        ["mended", "returned unsolved", "returned unsafe", "no fault found", "declined", "taken as donor", "abandoned"];

    public static readonly ImmutableArray<string> WaysOfOwnership = ["sale", "gift", "exchange", "scrap"];

    /// <summary>May this act follow the present state?</summary>
    public static Verdict Try(ShopState state, Act act)
    {
        ArgumentNullException.ThrowIfNull(state);
        ArgumentNullException.ThrowIfNull(act);
        var refusal = Refusal(state, act);
        if (refusal is not null) return refusal;
        var (jobs, entities) = Touches.Of(state, act);
        return new Verdict.Lawful(jobs, entities);
    }

    /// <summary>May this act be recorded now, taking effect right after entry <paramref name="after"/> (a late entry), or as a strike?
    /// Accepted only when everything that follows still replays lawfully; otherwise the entries that depend on the old order are named.</summary>
    public static Verdict Try(ShopState state, IReadOnlyList<Entry> recorded, Act act, long? after)
    {
        if (after is null && act is not Struck) return Try(state, act);
        if (after is { } k && (k < 1 || k > recorded.Count))
            return No($"There is no entry number {k} to stand after; the journal ends at {recorded.Count}.");
        if (act is Struck strike && StrikeRefusal(state, recorded, strike) is { } refusal) return refusal;

        var (jobs, entities) = Touches.Of(state, act);
        var number = recorded.Count == 0 ? 1 : recorded[^1].Number + 1;
        var proposed = new Entry(number, "\0proposed", DateTimeOffset.UnixEpoch, null, after, jobs, entities, act, "", "");
        var clashes = Clashes([.. recorded, proposed], Clashes(recorded, []).Select(c => c.Entry.Id).ToHashSet());
        if (clashes.Count == 0) return new Verdict.Lawful(jobs, entities);
        var own = clashes.FirstOrDefault(c => c.Entry.Id == proposed.Id);
        return own.Why is not null
            ? No("At that point of the tape: " + own.Why)
            : new Verdict.Refused($"{(clashes.Count == 1 ? "1 later entry stands" : $"{clashes.Count} later entries stand")} {(act is Struck ? "on it: strike" : "in its way: strike")} {(clashes.Count == 1 ? "that first" : "those first, the newest first")}, or {(act is Struck ? "leave it and put it right" : "record it")} by a later entry.", [.. clashes.Select(c => $"#{c.Entry.Number} {ActKinds.NameOf(c.Entry.Act)}: {c.Why}")], false) { Standing = [.. clashes.Select(c => c.Entry.Number)] };
    }

    private static Verdict.Refused? StrikeRefusal(ShopState state, IReadOnlyList<Entry> recorded, Struck strike)
    {
        if (!state.ById.TryGetValue(strike.Entry, out var target)) return No("There is no such entry to strike.");
        if (EffectiveOrder.StruckIds(recorded).Contains(strike.Entry)) return No($"Entry #{target.Number} is struck already.");
        if (target.Act is Forgotten) return No("What was forgotten at a person's wish cannot be brought back.");
        if (target.Act is PaperSent) return No("A paper that was sent is countered by another paper, not struck.");
        return string.IsNullOrWhiteSpace(strike.Why) ? No("Say why it is struck.") : null;
    }

    /// <summary>Replays in effective order and collects the entries that are no longer lawful.</summary>
    private static List<(Entry Entry, string Why)> Clashes(IReadOnlyList<Entry> recorded, HashSet<string> alreadyClashing)
    {
        var clashes = new List<(Entry, string)>();
        var state = ShopState.Empty with { ById = recorded.ToImmutableDictionary(e => e.Id) };
        foreach (var entry in EffectiveOrder.Of(recorded))
        {
            if (Refusal(state, entry.Act) is { } no)
            {
                if (!alreadyClashing.Contains(entry.Id)) clashes.Add((entry, no.Why));
                continue;
            }
            state = Apply.To(state, entry);
        }
        return clashes;
    }

    private static Verdict.Refused No(string why, bool overridable = false) => new(why, [], overridable);

    private static Verdict.Refused? Counts(SetOutline o) =>
        o.Rooms is < 0 or > 99 ? No($"Rooms: {o.Rooms} is outside 0 to 99.") : o.Doors is < 0 or > 20 ? No($"Doors: {o.Doors} is outside 0 to 20.") : null;

    private static Verdict.Refused? Refusal(ShopState s, Act act) => act switch
    {
        JobOpened a => Name(a.Job, "job") ?? (s.Jobs.ContainsKey(a.Job) ? No($"There is a job {a.Job} already.") : null)
            ?? Counts(a.Outline),
        OutlineCorrected a => Job(s, a.Job) ?? Counts(a.Outline),
        SheetPinned a => Job(s, a.Job),
        OwnerTold a => Job(s, a.Job),
        CauseTold a => Job(s, a.Job),
        Noted a => Job(s, a.Job),
        OwnerWord a => Job(s, a.Job) ?? (a.Amount < 0 ? No($"Amount: {a.Amount} is below nothing.") : string.IsNullOrWhiteSpace(a.About) ? No("Say what the owner's word is about.") : null),
        Parked a => Job(s, a.Job),
        JobClosed a => Closing(s, a),
        PieceRecorded a => Recorded(s, a),
        PieceMissing a => Job(s, a.Job),
        PieceMarked a => Piece(s, a.Piece),
        HardwareCounted a => Job(s, a.Job) ?? Open(s, a.Job) ?? Count(a.Came, "Came") ?? (a.Expected is { } e ? Count(e, "Expected") : null),
        OwnershipMoved a => Piece(s, a.Piece) ?? NotInClosedSet(s, a.Piece) ?? Ownership(s, a),
        PieceMoved a => Piece(s, a.Piece) ?? Loose(s, a.Piece) ?? NotPacked(s, a.Piece) ?? StaysHere(s, a.Piece, a.Place),
        Lent a => Job(s, a.Job) ?? Piece(s, a.Piece) ?? Lending(s, a),
        Returned a => Piece(s, a.Piece) ?? Loose(s, a.Piece) ?? (s.Pieces[a.Piece].LentTo is null ? No($"{Called(s, a.Piece)} is not lent to any job.") : null) ?? StaysHere(s, a.Piece, a.Place),
        SystemSetUp a => SetUp(s, a),
        Fitted a => Job(s, a.Job) ?? Open(s, a.Job) ?? System(s, a.System) ?? Piece(s, a.Piece) ?? Fitting(s, a),
        Pulled a => Job(s, a.Job) ?? System(s, a.System) ?? Piece(s, a.Piece) ?? NotInClosedSet(s, a.Piece) ?? NotPacked(s, a.Piece) ?? StaysHere(s, a.Piece, a.Place)
            ?? (s.Pieces[a.Piece].Where == Whereabouts.In(a.System, a.Position) ? null
                : No($"{Called(s, a.Piece)} does not sit in {a.Position} of {a.System}; it is at {s.Pieces[a.Piece].Where}.")),
        Reseated a => Job(s, a.Job) ?? System(s, a.System),
        HookUpRepaired a => Job(s, a.Job) ?? System(s, a.System) ?? Repairing(s, a),
        Powered a => Job(s, a.Job) ?? System(s, a.System)
            ?? (a.Feed is "line" or "lamp" or "limited" or "off" ? null : No($"Feed: “{a.Feed}” is not one of line, lamp, limited, off."))
            ?? (a.LineVolts is { } v && !(v is >= 0 and <= 300) ? No($"Line volts: {v} is outside 0 to 300.") : null),
        Unpowered a => Job(s, a.Job) ?? System(s, a.System),
        SoakBegun a => Job(s, a.Job) ?? System(s, a.System) ?? (s.Systems[a.System].Powered ? null : No("A soak runs under power; the set is off."))
            ?? (a.Hours is { } h && !(h is > 0 and <= 1000) ? No($"Hours: {h} is outside 0 to 1000.") : null),
        Checked a => Job(s, a.Job) ?? System(s, a.System) ?? Minutes(a.Minutes),
        GridChecked a => Job(s, a.Job) ?? System(s, a.System) ?? Minutes(a.Minutes),
        ReadingTaken a => Job(s, a.Job) ?? System(s, a.System) ?? Minutes(a.Minutes) ?? (double.IsNaN(a.Value) ? No("A reading is a number, or OL.") : null),
        GateAnswered a => Job(s, a.Job) ?? System(s, a.System),
        Photographed a => Job(s, a.Job) ?? (a.Piece is null ? null : Piece(s, a.Piece)),
        Mended a => Job(s, a.Job) ?? (a.Piece is null ? null : Piece(s, a.Piece)) ?? (a.System is null ? null : System(s, a.System)) ?? Minutes(a.Minutes)
            ?? (a.Success is >= 0 and <= 1 ? null : No($"Success: {a.Success} is outside 0 to 1.")),
        PartUsed a => Job(s, a.Job) ?? Piece(s, a.Piece) ?? (a.Cost < 0 ? No($"Cost: {a.Cost} is below nothing.") : null) ?? FromDrawer(s, a),
        PartShelved a => Name(a.Part, "part") ?? (s.Parts.ContainsKey(a.Part) ? No($"There is a part {a.Part} in the drawer already.") : string.IsNullOrWhiteSpace(a.Name) ? No("Say what the part is.") : null) ?? Count(a.Count, "Count"),
        PartCounted a => s.Parts.ContainsKey(a.Part) ? Count(a.Count, "Count") : No($"There is no part {a.Part} in the drawer."),
        Proved a => Job(s, a.Job),
        PackedPiece a => Job(s, a.Job) ?? Piece(s, a.Piece) ?? Packing(s, a),
        PackedHardware a => Job(s, a.Job) ?? Open(s, a.Job) ?? Count(a.Count, "Count"),
        CartonClosed a => Job(s, a.Job) ?? Carton(s, a),
        Forgotten a => string.IsNullOrWhiteSpace(a.Party) ? No("Say whose data is to be forgotten.") : null,
        PlainAct a => Plainly(s, a),
        _ => OfPapers(s, act),
    };
}
