namespace Bellwire.Circuits.Shapes;

/// <summary>How the winding is rectified.</summary>
public enum RectifierKind
{
    /// <summary>One diode; ripple at line frequency when healthy.</summary>
    HalfWave,

    /// <summary>Two diodes, the tap is common.</summary>
    CentreTap,

    /// <summary>Four diodes over the whole winding.</summary>
    Bridge,

    /// <summary>Four diodes and a tap that is common: a positive and a negative rail.</summary>
    DualFromTap,

    /// <summary>Two diodes and two reservoirs in series, the winding goes to their middle (Delon).</summary>
    Doubler,
}

/// <summary>Where the fuse is.</summary>
public enum FusePlace
{
    None,

    /// <summary>In the line, before the primary.</summary>
    Line,

    /// <summary>Between the winding and the rectifier.</summary>
    Secondary,

    /// <summary>Between the tap of the winding and common.</summary>
    Tap,
}

/// <summary>The fuse as it is marked.</summary>
/// <param name="Amperes">Rating, A RMS, 0.01 to 30.</param>
public sealed record FuseAsRead(FusePlace Place, double Amperes = 0)
{
    public static FuseAsRead Absent { get; } = new(FusePlace.None);

    /// <summary>Cold resistance, Ω; null takes 0.128 Ω at 1 A, falling as the rating to the power 1.25.</summary>
    /// <remarks>Within 15 % of a maker's table of sub-miniature fast fuses: 0.280, 0.128, 0.0823, 0.0473, 0.0290 Ω at 0.5, 1, 1.5, 2, 3 A.</remarks>
    public double? Ohms { get; init; }

    /// <summary>Nominal melting integral, A²s; null when nobody looked it up.</summary>
    public double? MeltingAmpereSquaredSeconds { get; init; }

    internal double ColdOhms => Ohms ?? 0.128 * Math.Pow(Amperes, -1.25);
}

/// <summary>A value of a shape that makes no sense, where it stands and what would.</summary>
/// <param name="Field">Property path as in code: <c>Transformer.OpenVolts</c>, <c>Stages[1].Ohms</c>.</param>
/// <param name="Words">One sentence with the limits.</param>
public sealed record ShapeComplaint(string Field, string Words);

/// <summary>What was built, or why not; exactly one of the two is there.</summary>
public sealed class Built<T> where T : class
{
    internal Built(T value) => Value = value;
    internal Built(IEnumerable<ShapeComplaint> complaints) => Complaints = [.. complaints];

    public T? Value { get; }
    public System.Collections.Immutable.ImmutableArray<ShapeComplaint> Complaints { get; } = [];

    /// <summary>The circuit, where the caller knows that the shape is in order.</summary>
    /// <exception cref="InvalidOperationException">It is not; the message holds all complaints.</exception>
    public T Required => Value ?? throw new InvalidOperationException(string.Join(" ", Complaints.Select(c => $"{c.Field}: {c.Words}")));
}
