namespace Bellwire.Circuits;

/// <summary>Where a probe can go.</summary>
/// <param name="Name">What the bench calls it: <c>TP3</c>, <c>RAW</c>.</param>
/// <param name="Node">The node it stands on.</param>
/// <param name="Against">Where the other lead is.</param>
public sealed record TestPoint(string Name, string Node, string Against = Netlist.Ground);

/// <summary>What a meter or a scope says at a point, and how it is named in tables.</summary>
public enum Quantity
{
    /// <summary>Mean, V.</summary>
    Direct,

    /// <summary>Peak to peak, V.</summary>
    Ripple,

    /// <summary>RMS of the alternation, V.</summary>
    Alternating,

    /// <summary>Peak of the component at line frequency, V: with ripple at twice that frequency it is nearly none.</summary>
    LineComponent,

    /// <summary>What an ohmmeter says with the power away, Ω, at most <see cref="Ohmmeter.MostOhms"/>.</summary>
    Ohms,
}

/// <summary>Mean and spread of one quantity over the tolerance draws, V or Ω.</summary>
/// <param name="Spread">Standard deviation over the draws.</param>
/// <param name="Low">Least value drawn.</param>
/// <param name="High">Largest value drawn.</param>
public sealed record Expected(double Mean, double Spread, double Low, double High);
