namespace Bellwire.Circuits;

/// <summary>How a fault table is reckoned.</summary>
public sealed record TableOptions
{
    /// <summary>Tolerance draws for each fault; 1 to 100,000.</summary>
    public int Draws { get; init => field = (int)Ranged.Within(value, 1, 100_000, "draws"); } = 50;

    /// <summary>Equal seeds give equal tables.</summary>
    public int Seed { get; init; } = 1;

    /// <summary>Line frequency, Hz, for <see cref="Quantity.LineComponent"/>.</summary>
    public double LineHertz { get; init => field = Ranged.Positive(value, "line hertz"); } = 60;

    /// <summary>The power is away, and points are read by an ohmmeter: only <see cref="Quantity.Ohms"/> means anything then.</summary>
    public bool Unpowered { get; init; }

    /// <summary>Accuracy of each solution; the default is within a few per mille of mean and ripple.</summary>
    public SteadyOptions Steady { get; init; } = new() { Tolerance = 1e-4, StepsPerPeriod = 48 };

    public static TableOptions Usual { get; } = new();
}

/// <summary>How far a table has come.</summary>
public readonly record struct TableProgress(int Done, int Of, string Fault);
