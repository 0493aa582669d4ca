namespace Bellwire.Signals;

/// <summary>Decibels of amplitude ratios; nothing reads −∞, never NaN.</summary>
public static class Decibels
{
    /// <summary>20·log10 of an amplitude ratio ≥ 0.</summary>
    /// <exception cref="ArgumentOutOfRangeException">NaN or below 0.</exception>
    public static double Of(double ratio) => ratio >= 0 ? 20 * Math.Log10(ratio) : throw new ArgumentOutOfRangeException(nameof(ratio), ratio, "An amplitude ratio is 0 or more.");

    /// <summary>10·log10 of a power ratio ≥ 0.</summary>
    /// <exception cref="ArgumentOutOfRangeException">NaN or below 0.</exception>
    public static double OfPower(double ratio) => ratio >= 0 ? 10 * Math.Log10(ratio) : throw new ArgumentOutOfRangeException(nameof(ratio), ratio, "A power ratio is 0 or more.");

    /// <summary>The amplitude ratio of a number of decibels.</summary>
    public static double Ratio(double decibels) => double.IsNaN(decibels) ? throw new ArgumentOutOfRangeException(nameof(decibels), decibels, "Decibels are a number.") : Math.Pow(10, decibels / 20);
}
