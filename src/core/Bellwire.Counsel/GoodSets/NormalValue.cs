using System.Collections.Immutable;

namespace Bellwire.Counsel;

/// <summary>What good sets read at one point under like conditions.</summary>
/// <param name="Values">One a set, in the point's unit; at least one.</param>
/// <param name="Mean">The normal value; <paramref name="Spread"/> is the sample standard deviation, null from one set alone.</param>
public sealed record NormalValue(ImmutableArray<double> Values, double Mean, double? Spread)
{
    /// <summary>A meter and a line voltage are good to about one in a hundred: no spread is believed smaller (common practice, no source).</summary>
    private const double LeastSpread = 0.01;

    /// <summary>Where the next good set would read, 19 times in 20: mean ± t·s·√(1 + 1/n), Student's t with n − 1 degrees of freedom
    /// (the prediction interval of a normal sample). Null from one set alone.</summary>
    public (double Low, double High)? Expected
    {
        get
        {
            if (Spread is not { } spread) return null;
            var n = Values.Length;
            var half = T975(n - 1) * Math.Max(spread, LeastSpread * Math.Abs(Mean)) * Math.Sqrt(1 + 1.0 / n);
            return (Mean - half, Mean + half);
        }
    }

    /// <exception cref="ArgumentException">No value, or one that is no number.</exception>
    public static NormalValue Of(IEnumerable<double> values)
    {
        ImmutableArray<double> all = [.. values];
        if (all.IsEmpty) throw new ArgumentException("A normal value needs at least one set.", nameof(values));
        if (all.FirstOrDefault(v => !double.IsFinite(v), 0) is var odd && !double.IsFinite(odd)) throw new ArgumentException($"{odd} is no reading to learn from.", nameof(values));
        var mean = all.Average();
        return new(all, mean, all.Length < 2 ? null : Math.Sqrt(all.Sum(v => (v - mean) * (v - mean)) / (all.Length - 1)));
    }

    /// <summary>How a suspect's reading stands beside the good ones: as good sets read, lower, higher, or how far from the only one.</summary>
    public string Word(double reading)
    {
        if (double.IsNaN(reading)) throw new ArgumentOutOfRangeException(nameof(reading), reading, "A reading is a number.");
        if (Expected is { } e) return reading < e.Low ? "lower than good sets read" : reading > e.High ? "higher than good sets read" : "as good sets read";
        var off = Mean == 0 ? double.PositiveInfinity : Math.Abs(reading / Mean - 1);
        return off <= 0.05 ? "like the one good set" : off <= 0.2 ? "off the one good set" : "far off the one good set";
    }

    /// <summary>Two-sided 95 % point of Student's t (0.975 quantile) for 1, 2, 3 … degrees of freedom; beyond 30 by the first two terms of its expansion about the normal.</summary>
    public static double T975(int degrees)
    {
        if (degrees < 1) throw new ArgumentOutOfRangeException(nameof(degrees), degrees, "At least one degree of freedom.");
        const double Z = 1.959963985;
        return degrees <= Table.Length ? Table[degrees - 1] : Z + (Z * Z * Z + Z) / (4.0 * degrees) + (5 * Math.Pow(Z, 5) + 16 * Z * Z * Z + 3 * Z) / (96.0 * degrees * degrees);
    }

    private static readonly double[] Table =
    [
        12.7062, 4.3027, 3.1824, 2.7764, 2.5706, 2.4469, 2.3646, 2.3060, 2.2622, 2.2281, 2.2010, 2.1788, 2.1604, 2.1448, 2.1314,
        2.1199, 2.1098, 2.1009, 2.0930, 2.0860, 2.0796, 2.0739, 2.0687, 2.0639, 2.0595, 2.0555, 2.0518, 2.0484, 2.0452, 2.0423,
    ];
}
