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
    /// <summary>What was wrong and is so no longer – mended, or cured by unplugging – in words: the answer when a swap cured and the refit works too.</summary>
    public ImmutableArray<string> GoneSince { get; init; } = [];
}

/// <param name="Word">"strongly for", "for", "little either way", "against", "all but cleared".</param>
/// <param name="Band">"about 7 in 10".</param>
public sealed record Suspect(string Key, string Name, string Where, string OwnedBy, bool ShopPiece, double Probability, string Word, string Band, ImmutableArray<(string Mode, double P)> Modes);
public sealed record FaultSetLine(string Words, double Probability, string Band);
public sealed record CauseLine(string Id, string Name, double Probability, string Band);
public sealed record MoveBundle(string Id, string Title, double SetUpMinutes, ImmutableArray<MoveLine> Moves);

/// <param name="Refusal">Gate that bars the move, in words; null when free.</param>
public sealed record MoveLine(
    string Id, string Kind, string Words, string Check, string System, ImmutableArray<(string Position, string Piece)> Swaps,
    double Minutes, double InformationBits, double Score, string GainWord, string Risk, string Why,
    ImmutableArray<(string Outcome, double P, string Changes)> Outcomes, string? Refusal,
    ImmutableDictionary<string, string> Throws);
public sealed record TapeLine(string EntryId, long Number, string Words, string When, string WeightWord, double WeightDecibans, string? AboutSuspect, double Surprise, bool Surprising);
public sealed record PositionView(string Position, string Name, int X, int Y, ImmutableArray<string> FeedsTo, string? Piece, string? PieceName, bool ShopPiece, bool House, double Suspicion, string Word);
public sealed record GateLine(string Id, string Words, string Before, bool Passed, string? Reason);
