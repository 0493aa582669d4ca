namespace Bellwire.Circuits;

/// <summary>How a steady state is sought.</summary>
public sealed record SteadyOptions
{
    /// <summary>Local error a step may make, as a share of the largest value of the state. 1e-7 to 1e-2.</summary>
    public double Tolerance { get; init => field = Ranged.Within(value, 1e-7, 1e-2, "tolerance"); } = 2e-5;

    /// <summary>Fewest steps a period of the fastest source; 8 to 4096.</summary>
    public int StepsPerPeriod { get; init => field = (int)Ranged.Within(value, 8, 4096, "steps per period"); } = 80;

    /// <summary>The steady state of a like circuit to start from; only its speed depends on it, not the answer.</summary>
    public SteadyState? Near { get; init; }

    /// <summary>Where all sources are steady there is no period; this one is used, s.</summary>
    public double IdleSeconds { get; init => field = Ranged.Positive(value, "idle seconds"); } = 1.0 / 60;

    /// <summary>Leave out currents, and accept a period that closes to a part in five thousand: for tables.</summary>
    internal bool Quick { get; init; }

    /// <summary>By how much the states are expected to differ from those of <see cref="Near"/>.</summary>
    internal double[]? Shift { get; init; }

    public static SteadyOptions Usual { get; } = new();
}
