using System.Collections.Immutable;

namespace Bellwire.Workshop;

/// <summary>What the journal amounts to: derived by replay, never stored as truth.</summary>
public sealed record ShopState(
    ImmutableDictionary<string, PieceState> Pieces,
    ImmutableDictionary<string, JobState> Jobs,
    ImmutableDictionary<string, SystemState> Systems,
    ImmutableArray<Entry> Effective)
{
    public static ShopState Empty { get; } = new(
        ImmutableDictionary<string, PieceState>.Empty, ImmutableDictionary<string, JobState>.Empty,
        ImmutableDictionary<string, SystemState>.Empty, []);

    /// <summary>Every recorded entry by its id, struck ones too.</summary>
    public ImmutableDictionary<string, Entry> ById { get; init; } = ImmutableDictionary<string, Entry>.Empty;

    /// <summary>The owner's words by entry id: what a change of ownership must name.</summary>
    public ImmutableDictionary<string, OwnerWord> Words { get; init; } = ImmutableDictionary<string, OwnerWord>.Empty;

    /// <summary>What the papers say of the shop.</summary>
    public ShopDetails Details { get; init; } = ShopDetails.None;

    /// <summary>What a word was about, by the word's entry id; a word without a tie speaks for everything.</summary>
    public ImmutableDictionary<string, WordTied> Ties { get; init; } = ImmutableDictionary<string, WordTied>.Empty;

    /// <summary>The drawer of parts, by id.</summary>
    public ImmutableDictionary<string, DrawerPart> Parts { get; init; } = ImmutableDictionary<string, DrawerPart>.Empty;

    /// <summary>What the shelf knows of pieces; see <see cref="CardOf"/>.</summary>
    public ImmutableDictionary<string, ShelfCard> Cards { get; init; } = ImmutableDictionary<string, ShelfCard>.Empty;
    public ShelfCard CardOf(string piece) => Cards.GetValueOrDefault(piece) ?? ShelfCard.Blank;

    /// <summary>Trust handed on for a piece, in effective order; read through <see cref="TrustLedger"/>.</summary>
    public ImmutableDictionary<string, ImmutableArray<TrustHandedOn>> Trusts { get; init; } = ImmutableDictionary<string, ImmutableArray<TrustHandedOn>>.Empty;
    public ImmutableDictionary<string, DonorState> Donors { get; init; } = ImmutableDictionary<string, DonorState>.Empty;

    /// <summary>Job → the earlier job of the same set.</summary>
    public ImmutableDictionary<string, string> Comebacks { get; init; } = ImmutableDictionary<string, string>.Empty;

    /// <summary>Learned odds by the id of the entry that took them up, which is their version.</summary>
    public ImmutableDictionary<string, OddsAdopted> Odds { get; init; } = ImmutableDictionary<string, OddsAdopted>.Empty;

    /// <summary>Sheet id → the version that new jobs of it begin with.</summary>
    public ImmutableDictionary<string, string> OddsNow { get; init; } = ImmutableDictionary<string, string>.Empty;

    /// <summary>Number of the last recorded entry; 0 when there is none.</summary>
    public long Head { get; init; }

    /// <summary>A job's tape in effective order, struck entries left out.</summary>
    public IEnumerable<Entry> TapeOf(string job) => Effective.Where(e => e.Jobs.Contains(job));
}

/// <param name="Where">Either in a position of a system, or lying at a named place.</param>
public sealed record PieceState(
    string Id, string Kind, string Name, string Owner, string? Job, string? LentTo, Whereabouts Where,
    string? Marks, string? Condition, bool KnownGood, double? Trust, bool Packed, bool Gone)
{
    /// <summary>The trust it was recorded with, before any job handed on its own.</summary>
    public double? RecordedTrust { get; init; }
}

public readonly record struct Whereabouts(string? System, string? Position, string? Place)
{
    public static Whereabouts In(string system, string position) => new(system, position, null);
    public static Whereabouts At(string place) => new(null, null, place);
    public override string ToString() => System is null ? Place ?? "not known" : $"{Position} of {System}";
}

public sealed record JobState(
    string Id, Personal Owner, string? SheetId, string? SheetHash, SetOutline Outline, string? System,
    ImmutableDictionary<string, HardwareState> Hardware, ImmutableArray<PieceMissing> Missing,
    bool CartonClosed, string? Ending, DateOnly? ParkedUntil, string? ParkedWhy, DateTimeOffset Opened, DateTimeOffset LastTouched, double Minutes)
{
    /// <summary>The odds pinned to the job: "1" for the sheet's own, else an entry of the journal.</summary>
    public string OddsVersion { get; init; } = "1";

    /// <summary>Where the owner is reached, by item (address, country, telephone, mail).</summary>
    public ImmutableDictionary<string, Personal> OwnerDetails { get; init; } = ImmutableDictionary<string, Personal>.Empty;
}

public sealed record HardwareState(string Item, int Came, int? Expected, int Packed, string? Reason);

public sealed record SystemState(
    string Id, string? Job, string? SheetId, ImmutableDictionary<string, string> Pieces, bool Powered, string Feed, double? LineVolts)
{
    /// <summary>Position → the piece that sat there first: its revision letter decides what fits.</summary>
    public ImmutableDictionary<string, string> Homes { get; init; } = ImmutableDictionary<string, string>.Empty;
}

/// <summary>The answer to a proposed act.</summary>
public abstract record Verdict
{
    /// <summary>Lawful; the entities it touches.</summary>
    public sealed record Lawful(ImmutableArray<string> Jobs, ImmutableArray<string> Entities) : Verdict;

    /// <summary>Refused in plain words; <paramref name="Overridable"/> when a kept reason would carry it.</summary>
    public sealed record Refused(string Why, ImmutableArray<string> Details, bool Overridable) : Verdict
    {
        /// <summary>Numbers of the later entries that could no longer stand, when it is they that are in the way.</summary>
        public ImmutableArray<long> Standing { get; init; } = [];
    }
}
