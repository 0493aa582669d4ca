using System.Collections.Immutable;

namespace Bellwire.Workshop;

// ---- the shelf
/// <summary>How sure the shop is of a piece from now on.</summary>
/// <param name="Job">The job whose work it comes from; null when the shop proved or judged it by itself: then everything before is replaced.</param>
/// <param name="Before">P(all good) it went into that job with, 0..1; <paramref name="After"/> what it came out with.</param>
/// <param name="How">marginal (of the job's posterior: what it shared with other suspects is lost), proved, estimate.</param>
public sealed record TrustHandedOn(string Piece, string? Job, double Before, double After, string How) : PlainAct
{
    public override string? OfJob => Job;
    public override IEnumerable<string> OfPieces => [Piece];
}

/// <param name="Origin">new, used, donor or core.</param>
/// <param name="Donor">Which donor it came out of, or null.</param>
public sealed record OriginNoted(string Piece, string Origin, string? Donor) : PlainAct
{
    public override IEnumerable<string> OfPieces => [Piece];
}

/// <summary>The revision letter on a piece, and the letters whose place it may take.</summary>
public sealed record RevisionNoted(string Piece, string Revision, ImmutableArray<string> Fits) : PlainAct
{
    public override IEnumerable<string> OfPieces => [Piece];
}

/// <summary>Kept for a job; null frees it.</summary>
public sealed record Reserved(string Piece, string? For, string? Why) : PlainAct
{
    public override string? OfJob => For;
    public override IEnumerable<string> OfPieces => [Piece];
}

/// <summary>A set kept to be broken.</summary>
/// <param name="Contents">Position → kind of what is still in it.</param>
public sealed record DonorKept(string Donor, string Name, string? SheetId, string Place, ImmutableDictionary<string, string> Contents) : PlainAct;

/// <summary>A piece, recorded already, came out of a donor.</summary>
public sealed record TakenOut(string Donor, string Position, string Piece) : PlainAct
{
    public override IEnumerable<string> OfPieces => [Piece];
}

// ---- between jobs
/// <summary>This set was here before.</summary>
public sealed record ComebackOf(string Job, string Earlier) : PlainAct
{
    public override string OfJob => Job;
}

/// <summary>A carton on its way.</summary>
/// <param name="Way">here or home; <paramref name="Stage"/> sent or arrived.</param>
public sealed record Freighted(string Job, string Way, string Stage, Personal? Words) : PlainAct
{
    public override string OfJob => Job;
}
