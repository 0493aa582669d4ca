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
    HowGot How);

/// <summary>Marginal of one site now; <see cref="Original"/> is the truth before any mend or redraw.</summary>
public sealed record SiteBelief(
    SiteRef Site, ImmutableDictionary<string, double> Now, ImmutableDictionary<string, double> Original)
{
    /// <summary>P(not good now).</summary>
    public double Faulty => 1.0 - Now.GetValueOrDefault("good");
}

/// <summary>P(any site of the piece is faulty now).</summary>
public sealed record PieceBelief(string Piece, double Faulty);

/// <summary>One joint set of faults with its probability; empty = nothing wrong.</summary>
public sealed record FaultSet(ImmutableArray<(SiteRef Site, string Mode)> Faults, double Probability);

/// <summary>Surprise = −ln p(o) minus its predictive expectation; weights are sequential decibans per site.</summary>
public sealed record EntryWeight(string Entry, double LogPredictive, double Surprise, ImmutableDictionary<string, double> Decibans);

/// <summary>How an answer was come by.</summary>
/// <param name="Exact">True when no mass was pruned and nothing sampled.</param>
/// <param name="LostMass">Bound on pruned posterior mass, 0 when exact.</param>
public sealed record HowGot(bool Exact, double LostMass, int Nodes, string Method, ImmutableArray<string> Warnings);

/// <summary>The tape cannot have happened under the model; the entries named clash.</summary>
public sealed record Contradiction(ImmutableArray<string> Entries, string Words);
