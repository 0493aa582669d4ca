namespace Bellwire.Circuits;

public enum Strain
{
    /// <summary>Peak volts the rated way round.</summary>
    Volts,

    /// <summary>Peak volts the wrong way round on a polarised part.</summary>
    ReverseVolts,

    /// <summary>RMS amperes.</summary>
    Amperes,

    /// <summary>Mean watts.</summary>
    Watts,

    /// <summary>Heat beyond the rated watts, J, past what the part survives.</summary>
    Heat,

    /// <summary>A fuse melts: A²s against its melting integral.</summary>
    Melts,
}

/// <summary>A part beyond a rating.</summary>
/// <param name="Actual">What it bears, in the unit of <paramref name="What"/>.</param>
/// <param name="Allowed">Its rating, above 0.</param>
/// <param name="AtSeconds">When the rating is first passed; null for what is judged over a whole period or run.</param>
public sealed record Overload(string Part, Strain What, double Actual, double Allowed, double? AtSeconds = null)
{
    public double Ratio => Actual / Allowed;
}
