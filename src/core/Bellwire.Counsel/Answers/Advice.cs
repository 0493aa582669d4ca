using System.Collections.Immutable;
using Bellwire.Reasoning;

namespace Bellwire.Counsel;

/// <summary>Everything the bench page, <c>weigh</c> and the papers show of one job: derived, never stored.</summary>
public sealed record Advice(
    string Job, string SheetTitle, bool GeneralOdds,
    ImmutableArray<Suspect> Suspects,
    ImmutableArray<FaultSetLine> FaultSets,
    ImmutableArray<CauseLine> Causes,
    ImmutableArray<MoveBundle> Moves,
    ImmutableArray<TapeLine> Tape,
    ImmutableArray<PositionView> Drawing,
    ImmutableArray<GateLine> Gates,
    ImmutableArray<string> Warnings,
    ImmutableArray<string> NeverSeen,
    string StoppingWord,
    double NothingWrong, double LogEvidence, HowGot How, Contradiction? Clash)
{
    /// <summary>What is expected to be spent yet, and the leaders in that order; null where nobody looked.</summary>
    public WayAhead? Ahead { get; init; }

    /// <summary>What to ask and what to send; null once the set stands on the bench, and where nobody asked.</summary>
    public AfarAdvice? Afar { get; init; }

    /// <summary>Reasons to stop looking, with their figures; reckoned together with <see cref="Ahead"/>.</summary>
    public ImmutableArray<StopLine> Stops { get; init; } = [];

    /// <summary>What was wrong and is so no longer – mended, or cured by unplugging – in words: the answer when a swap cured and the refit works too.</summary>
    public ImmutableArray<string> GoneSince { get; init; } = [];

    /// <summary>In what order the steps of the proof are best tried, and how likely it fails as things stand.</summary>
    public ProofOrder Proof { get; init; } = ProofOrder.None;
}

/// <param name="Word">"strongly for", "for", "little either way", "against", "all but cleared".</param>
/// <param name="Band">"about 7 in 10".</param>
public sealed record Suspect(string Key, string Name, string Where, string OwnedBy, bool ShopPiece, double Probability, string Word, string Band, ImmutableArray<ModeLine> Modes)
{
    /// <summary>The entry that killed it, in words; null when nothing on the tape did.</summary>
    public string? HurtBy { get; init; }
}
/// <param name="Mode">The fault in words; <paramref name="P"/> its probability, 0..1.</param>
public sealed record ModeLine(string Mode, double P);
public sealed record FaultSetLine(string Words, double Probability, string Band);
public sealed record CauseLine(string Id, string Name, double Probability, string Band);
public sealed record MoveBundle(string Id, string Title, double SetUpMinutes, ImmutableArray<MoveLine> Moves)
{
    /// <summary>Minutes saved for each minute spent by its best moves together, the set-up shared; for mends and rails as on the line.</summary>
    public double Worth { get; init; }

    /// <summary>How many of its first moves are looks to be made as a round: worth their minutes together, though maybe not one by one. 0: each stands for itself.</summary>
    public int Round { get; init; }

    /// <summary>Minutes of failed proof that the round spares, where that is more than its looks spare one by one; otherwise 0.</summary>
    public double RoundSaves { get; init; }

    /// <summary>Whether any of its moves can be made as things stand; gates that are passed on the way do not count.</summary>
    internal bool CanBeMade() => Moves.Any(m => m.CanBeMade);
}

/// <param name="Position">Where <paramref name="Piece"/> goes in.</param>
public sealed record SwapLine(string Position, string Piece);
/// <param name="P">Chance of this outcome, 0..1. <paramref name="Changes"/>: what it would change, in words.</param>
public sealed record OutcomeLine(string Outcome, double P, string Changes);
/// <param name="Kind">look, reseat, swap, mend; rails: unplug, read the rail, plug in again.</param>
/// <param name="Score">Minutes saved for each minute spent; for a mend the probability that it is needed.</param>
/// <param name="Refusal">Gate that bars the move, in words; null when free.</param>
public sealed record MoveLine(
    string Id, string Kind, string Words, string Check, string System, ImmutableArray<SwapLine> Swaps,
    double Minutes, double InformationBits, double Score, string GainWord, string Risk, string Why,
    ImmutableArray<OutcomeLine> Outcomes, string? Refusal,
    ImmutableDictionary<string, string> Throws)
{
    /// <summary>A gate in its way was tried and did not pass.</summary>
    internal bool GateFailed { get; init; }

    /// <summary>A look and a reseat pass their gates on the way – ohms before power, the reservoir measured before a hand goes in –, but not one that was tried and failed. A good piece waits for its own.</summary>
    internal bool CanBeMade => Refusal is null || (Kind is "look" or "reseat" && !GateFailed);

    /// <summary>Never proposed: barred on this set whatever the reason.</summary>
    internal bool Barred { get; init; }

    /// <summary>Minutes of needless mending and failed proof that it is expected to spare.</summary>
    public double SavesMinutes { get; init; }

    /// <summary>Expected loss of pieces that it averts, in minutes at the shop's hourly value.</summary>
    public double AvertsMinutes { get; init; }

    /// <summary>Expected loss of pieces that it risks, in minutes at the shop's hourly value; it is in <see cref="Score"/> already.</summary>
    public double LossMinutes { get; init; }

    /// <summary>Positions to be unplugged before power goes on.</summary>
    public ImmutableArray<string> Unplug { get; init; } = [];
}
public sealed record TapeLine(string EntryId, long Number, string Words, string When, string WeightWord, double WeightDecibans, string? AboutSuspect, double Surprise, bool Surprising)
{
    /// <summary>What this power-up killed, in words, by all that is on the tape.</summary>
    public ImmutableArray<string> Hurt { get; init; } = [];
}
public sealed record PositionView(string Position, string Name, int X, int Y, ImmutableArray<string> FeedsTo, string? Piece, string? PieceName, bool ShopPiece, bool House, double Suspicion, string Word);
/// <param name="Before">power, fit, hands-in, soak.</param>
public sealed record GateLine(string Id, string Words, string Before, bool Passed, string? Reason)
{
    /// <summary>Its check has been made since it last fell; only then does a reason carry a bad answer.</summary>
    public bool Made { get; init; }
}
