using System.Collections.Immutable;

namespace Bellwire.Circuits;

public enum TransientStart
{
    /// <summary>Capacitors empty, coils without current.</summary>
    AtRest,

    /// <summary>The operating point of the sources as they stand at the first instant.</summary>
    Settled,
}

/// <summary>How a run in time is made.</summary>
/// <param name="Seconds">Length, s, above 0.</param>
public sealed record TransientOptions(double Seconds)
{
    public double Seconds { get; init => field = Ranged.Positive(value, "seconds"); } = Ranged.Positive(Seconds, "seconds");

    /// <summary>The first instant, s: where in their swing the sources are.</summary>
    public double FromSeconds { get; init => field = Ranged.NotNegative(value, "first instant"); }
    public TransientStart Start { get; init; }

    /// <summary>Local error of a step as a share of the largest value of the state, 1e-7 to 1e-2.</summary>
    public double Tolerance { get; init => field = Ranged.Within(value, 1e-7, 1e-2, "tolerance"); } = 2e-5;

    /// <summary>Longest step, s; a hundredth of the run when not given. With alternating sources a hundredth of their period or less.</summary>
    public double? LongestStep { get; init => field = value is { } v ? Ranged.Positive(v, "longest step") : null; }

    /// <summary>States to start from, by part.</summary>
    internal ImmutableDictionary<string, ImmutableArray<double>>? States { get; init; }
}
