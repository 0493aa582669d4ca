using System.Collections.Immutable;

namespace Bellwire.Reasoning;

/// <summary>A move put to the engine: an optional change of hook-up, then one check.</summary>
/// <param name="Outcomes">Outcome id → (state of the target → P(outcome | state)).</param>
public sealed record Move(
    string Id, string System, ImmutableArray<(string Position, string? Piece)> Swaps, bool PowersUp,
    Setting Setting, Target Target, ImmutableDictionary<string, ImmutableDictionary<string, double>> Outcomes);

/// <summary>What a move is expected to tell and to risk.</summary>
/// <param name="InformationBits">H(O) − mean over fault sets x of H(O | x), base 2.</param>
/// <param name="Kills">Site → expected chance that the move's power-up kills it though it is good now.</param>
/// <param name="After">Outcome → the pieces and sites whose odds it would change most, (site, now, then).</param>
public sealed record MoveValue(
    string Id, double InformationBits, ImmutableDictionary<string, double> Outcomes,
    ImmutableDictionary<SiteRef, double> Kills,
    ImmutableDictionary<string, ImmutableArray<(SiteRef Site, double Now, double Then)>> After,
    double StandardError)
{
    /// <summary>True when the information was reckoned without lots; the outcomes then are as well.</summary>
    public bool Exact { get; init; }

    /// <summary>True when the look outgrew all bounds: nothing is known of what it would tell, and nothing is reckoned.</summary>
    public bool GivenUp { get; init; }
}
