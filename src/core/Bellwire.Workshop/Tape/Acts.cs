using System.Collections.Immutable;

namespace Bellwire.Workshop;

/// <summary>What an entry of the journal says happened. Each kind has a stable wire name (see ActKinds) and is never changed,
/// only added to; text a person could ask to have forgotten is a <see cref="Personal"/> reference, not a string.</summary>
public abstract record Act
{
    /// <summary>Kept, printed reasons for going against safety gates, one for each gate named; absent for most acts.
    /// (The older OverrideReason of some acts is one reason for the whole act.)</summary>
    public ImmutableArray<GateOverride>? Overrides { get; init; }
}

/// <param name="Gate">The gate gone against, by its name in the type sheet or among the gates of every set.</param>
public sealed record GateOverride(string Gate, string Reason);

/// <summary>Reference into the erasable side table: the chain holds only a salted hash.</summary>
public readonly record struct Personal(string Ref);

// ---- jobs and the story
/// <summary>A new story. <paramref name="Outline"/> is what an owner can tell: era, feed, rooms, doors …</summary>
public sealed record JobOpened(string Job, Personal Owner, string? SheetId, string? SheetHash, SetOutline Outline) : Act;
public sealed record SetOutline(string Era, string Feed, int Rooms, int Doors, ImmutableArray<string> Has);
/// <summary>What the set is after all: replaces the outline of the story.</summary>
public sealed record OutlineCorrected(string Job, SetOutline Outline) : Act;
public sealed record SheetPinned(string Job, string SheetId, string SheetHash, string OddsVersion, string EngineVersion) : Act;
/// <summary>The owner's word on a function of the set: trusted less than the bench's.</summary>
public sealed record OwnerTold(string Job, string Check, string Outcome, Personal? Words) : Act;
public sealed record CauseTold(string Job, string Cause, bool? Happened, Personal? Words) : Act;
public sealed record Noted(string Job, Personal Words) : Act;
/// <summary>The owner agreed to, or refused, something (a sale, a sum, a scrapping).</summary>
public sealed record OwnerWord(string Job, string About, bool Yes, string Channel, decimal? Amount, string? Currency, Personal? Words) : Act;
public sealed record Parked(string Job, DateOnly? Until, string Why) : Act;
public sealed record JobClosed(string Job, string Ending, string? OverrideReason) : Act;

// ---- what exists and whose it is
/// <summary>A piece comes to be known: arrived with a job, bought for the shelf, or seen in the owner's house (place "house").</summary>
public sealed record PieceRecorded(string Piece, string Kind, string Name, string Owner, string? Job, string Place, string? Marks, string? Condition, bool KnownGood = false, double? Trust = null) : Act;
public sealed record PieceMissing(string Job, string Kind, string Name, string? Position) : Act;
public sealed record PieceMarked(string Piece, string? Marks, string? Condition) : Act;
public sealed record HardwareCounted(string Job, string Item, int Came, int? Expected, string? Note) : Act;
/// <summary>Ownership moves only by this, with the owner's word (an entry id) unless the giver is the shop.</summary>
/// <param name="How">sale, gift, exchange, scrap.</param>
public sealed record OwnershipMoved(string Piece, string To, string How, string? WordEntry) : Act;
public sealed record PieceMoved(string Piece, string Place) : Act;
/// <summary>A shop piece is lent to a job, and comes back.</summary>
public sealed record Lent(string Piece, string Job) : Act;
public sealed record Returned(string Piece, string Place) : Act;

// ---- the hook-up
/// <summary>A chassis with positions: a job's set, or the shop's mule.</summary>
public sealed record SystemSetUp(string System, string? Job, string? SheetId, ImmutableDictionary<string, string> Pieces) : Act;
public sealed record Fitted(string Job, string Piece, string System, string Position, string? OverrideReason = null) : Act;
/// <param name="Place">Where the piece now lies; null = "on the bench".</param>
public sealed record Pulled(string Job, string Piece, string System, string Position, string? Place) : Act;
public sealed record Reseated(string Job, string System, string Position) : Act;
/// <summary>"It is wired like this now": the whole map of a system, in one act.</summary>
public sealed record HookUpRepaired(string Job, string System, ImmutableDictionary<string, string> Pieces, string? Where = null) : Act;

// ---- the bench
/// <param name="Feed">line, lamp, limited, off.</param>
public sealed record Powered(string Job, string System, string Feed, double? LineVolts, string? OverrideReason = null) : Act;
public sealed record Unpowered(string Job, string System) : Act;
/// <summary>The set is left to run under power. <paramref name="Attended"/>: somebody stays with it.</summary>
/// <param name="Hours">How long it is meant to run, above 0 to 1000.</param>
public sealed record SoakBegun(string Job, string System, bool Attended, double? Hours) : Act;
/// <summary>One check with its outcome; selectors and circumstances as they stood.</summary>
public sealed record Checked(string Job, string System, string Check, string Outcome, ImmutableDictionary<string, string> Throws, ImmutableDictionary<string, string> Circumstances, double? Minutes, Personal? Words = null) : Act;
/// <summary>Many functions in one go: outcome by check id.</summary>
public sealed record GridChecked(string Job, string System, ImmutableDictionary<string, string> Outcomes, ImmutableDictionary<string, string> Throws, double? Minutes) : Act;
/// <summary>A measured number at a named point. Value in base SI units; <paramref name="Quantity"/> volt-dc, volt-ac, volt-ripple-pp, ohm, ampere, hertz, farad.</summary>
public sealed record ReadingTaken(string Job, string System, string Point, string Quantity, double Value, string Typed, ImmutableDictionary<string, string> Circumstances, double? Minutes = null) : Act;
/// <summary>A gate of the safety rules answered (discharged measured, leakage, ohms before power …).</summary>
public sealed record GateAnswered(string Job, string System, string Gate, bool Passed, double? Value, string? Note, string? OverrideReason) : Act;
public sealed record Photographed(string Job, string? Piece, string ContentHash, string MediaType, Personal? Words) : Act;
public sealed record Mended(string Job, string? Piece, string? System, string? Position, string Site, string What, double Success, double? Minutes) : Act;
/// <param name="Reason">Why this part: the rule's words.</param>
/// <param name="Stock">The drawer's part it was taken from, or null when it was bought for this.</param>
/// <param name="Count">Null is one.</param>
/// <param name="OldPart">kept, returned or thrown away; null when nobody said.</param>
public sealed record PartUsed(string Job, string Piece, string Part, decimal Cost, string Currency, string? Reason, string? Stock = null, int? Count = null, string? OldPart = null) : Act;

// ---- proof and packing
public sealed record Proved(string Job, string Function, string Outcome, double? Value, string? Unit, string? By) : Act;
public sealed record PackedPiece(string Job, string Piece) : Act;
public sealed record PackedHardware(string Job, string Item, int Count, string? Reason) : Act;
/// <summary>The carton closes. Refused while something is unreconciled, unless <paramref name="OverrideReason"/>; never for a shop's own piece.</summary>
public sealed record CartonClosed(string Job, string? OverrideReason) : Act;

// ---- the journal itself
/// <summary>Strikes an entry (or, struck itself, restores it).</summary>
public sealed record Struck(string Entry, string Why) : Act;
/// <summary>Left where a person's data was erased.</summary>
public sealed record Forgotten(string Party) : Act;
