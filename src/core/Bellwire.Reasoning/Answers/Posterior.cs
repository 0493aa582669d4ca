using System.Collections.Immutable;

namespace Bellwire.Reasoning;

/// <summary>What the tape makes of the set. Probabilities 0..1; logs natural.</summary>
public sealed record Posterior(
    ImmutableArray<SiteBelief> Sites,
    ImmutableArray<PieceBelief> Pieces,
    ImmutableDictionary<string, double> Causes,
    ImmutableArray<FaultSet> MostProbable,
    double LogEvidence,
    ImmutableArray<EntryWeight> Entries,
    double NothingWrong,
    HowGot How)
{
    /// <summary>Standard error of each of <see cref="Causes"/>; empty when nothing was drawn by lot.</summary>
    public ImmutableDictionary<string, double> CauseErrors { get; init; } = ImmutableDictionary<string, double>.Empty;
}

/// <summary>Marginal of one site now; <see cref="Original"/> is the truth before any mend or redraw.</summary>
public sealed record SiteBelief(
    SiteRef Site, ImmutableDictionary<string, double> Now, ImmutableDictionary<string, double> Original)
{
    /// <summary>P(not good now).</summary>
    public double Faulty => 1.0 - Now.GetValueOrDefault("good");

    /// <summary>Standard error of each of <see cref="Now"/>; empty when nothing was drawn by lot. That of "good" is that of <see cref="Faulty"/>.</summary>
    public ImmutableDictionary<string, double> NowErrors { get; init; } = ImmutableDictionary<string, double>.Empty;
}

/// <summary>P(any site of the piece is faulty now).</summary>
/// <param name="StandardError">Of Faulty; 0 when nothing was drawn by lot.</param>
public sealed record PieceBelief(string Piece, double Faulty, double StandardError = 0);

/// <summary>One joint set of faults with its probability; empty = nothing wrong.</summary>
/// <param name="StandardError">Of Probability; 0 when nothing was drawn by lot.</param>
public sealed record FaultSet(ImmutableArray<(SiteRef Site, string Mode)> Faults, double Probability, double StandardError = 0);

/// <summary>Surprise = −ln p(o) minus its predictive expectation; weights are sequential decibans per site.</summary>
public sealed record EntryWeight(string Entry, double LogPredictive, double Surprise, ImmutableDictionary<string, double> Decibans);

/// <summary>How an answer was come by.</summary>
/// <param name="Exact">True when no mass was pruned and nothing sampled.</param>
/// <param name="LostMass">Bound on pruned posterior mass, 0 when exact, and when drawn by lot: then <see cref="Drawn"/> says how good it is.</param>
public sealed record HowGot(bool Exact, double LostMass, int Nodes, string Method, ImmutableArray<string> Warnings)
{
    /// <summary>Not null when the figures were drawn by lot.</summary>
    public Sampling? Drawn { get; init; }
}

/// <summary>How good figures drawn by lot are.</summary>
/// <param name="Worlds">Worlds drawn.</param>
/// <param name="EffectiveSize">(Σw)² / Σw²: as many worlds of equal weight would tell as much. Below some hundreds the standard errors are themselves rough.</param>
/// <param name="WorstStandardError">The largest standard error of any site's P(not good now).</param>
/// <param name="LogEvidenceError">Standard error of the log evidence.</param>
public sealed record Sampling(int Worlds, double EffectiveSize, double WorstStandardError, double LogEvidenceError)
{
    /// <summary>Below this effective size the standard errors are themselves rough (estimate).</summary>
    public const double Thin = 200;
}

/// <summary>The tape cannot have happened under the model; the entries named clash.</summary>
public sealed record Contradiction(ImmutableArray<string> Entries, string Words);
