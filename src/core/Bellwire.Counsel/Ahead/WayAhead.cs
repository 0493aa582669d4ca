using System.Collections.Immutable;

namespace Bellwire.Counsel;

/// <summary>What is expected to be spent yet until a passed proof, and the leading moves in that order. Minutes are attended ones; parts and the
/// expected loss of pieces are in them at the shop's hourly rate.</summary>
/// <param name="Moves">Cheapest way to the end first; those as good as the best in the order of the ranking.</param>
/// <param name="Minutes">Expected by the first of them; 0 when nothing could be said.</param>
/// <param name="Hourly">Money an hour, in <paramref name="Currency"/>.</param>
/// <param name="Depth">Acts looked ahead.</param>
/// <param name="Whole">True when every way was followed to its end; otherwise a simple way stands in at the edge.</param>
/// <param name="Sites">Faults kept apart; all others count as one.</param>
/// <param name="Covered">Share of what may be wrong that was planned with, 0..1.</param>
public sealed record WayAhead(ImmutableArray<AheadMove> Moves, double Minutes, double Hourly, string Currency, int Depth, bool Whole, int Sites, double Covered)
{
    /// <summary>Money until a passed proof, before tax.</summary>
    public decimal Money => ShopTerms.Cents(Minutes / 60 * Hourly);

    /// <summary>The move itself, by the name it has in the ranking; null when it was not looked into.</summary>
    public AheadMove? Of(string move) => Moves.FirstOrDefault(m => m.Id == move);
}

/// <param name="Id">As in the ranking; "mend:…" for a mend, "prove" for the proof.</param>
/// <param name="Minutes">Expected until a passed proof when it is done first.</param>
/// <param name="Then">What is best after each outcome.</param>
public sealed record AheadMove(string Id, string Words, double Minutes, ImmutableArray<AheadStep> Then);

/// <param name="Next">What is best then, in words.</param>
/// <param name="Minutes">Expected from there on until a passed proof.</param>
public sealed record AheadStep(string Outcome, double P, string Next, double Minutes);
