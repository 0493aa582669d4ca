namespace Bellwire.Reasoning;

/// <summary>Limits within which the engine may leave exactness.</summary>
/// <param name="NodeBudget">Diagram nodes before pruning sets in.</param>
/// <param name="Samples">Fault sets drawn to answer what-ifs.</param>
/// <param name="Seed">Seed of every draw: equal seeds give equal answers.</param>
/// <param name="MaxFaultSets">How many most probable sets are wanted.</param>
/// <param name="LossPerEntry">Share of the posterior, 0..1, that one entry's pruning may cut away before the budget forces more.</param>
/// <param name="MostLost">Bound on the lost share, 0..1, above which the log is reckoned once more, cutting less, and above which the
/// figures are then drawn by lot.</param>
/// <param name="WantedError">Standard error of a marginal at which drawing by lot stops, if it gets there.</param>
/// <param name="WalkNumbers">Numbers of 8 bytes that one walk through diagram and function may keep; a figure that needs more is a share of drawn worlds, and a warning says so.</param>
public sealed record WeighOptions(int NodeBudget = 6_000, int Samples = 2_000, ulong Seed = 1, int MaxFaultSets = 12,
    double LossPerEntry = 1e-5, double MostLost = 0.01, double WantedError = 5e-4, long WalkNumbers = 64_000_000);

/// <summary>The engine's public face.</summary>
public static class Reasoner
{
    /// <summary>Weighs a case.</summary>
    /// <param name="previous">An earlier weighing of a case with the same pieces; what the two logs share is not reckoned again.</param>
    /// <exception cref="ArgumentException">The case names something that is not there; the message says what and where.</exception>
    public static Weighing Weigh(Case c, WeighOptions? options = null, CancellationToken ct = default, Weighing? previous = null)
    {
        CaseCheck.Demand(c);
        return Engine.Weigher.Weigh(c, options ?? new WeighOptions(), ct, previous);
    }
}
