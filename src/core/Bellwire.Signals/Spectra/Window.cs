using System.Collections.Concurrent;
using System.Collections.Immutable;

namespace Bellwire.Signals;

/// <summary>A sum-of-cosines window, periodic: w(n) = Σ (−1)^k a_k cos(2πkn/N). Harris, "On the use of windows for harmonic
/// analysis with the discrete Fourier transform", Proc. IEEE 66(1), 1978; flat-top HFT from Heinzel, Rüdiger, Schilling 2002.</summary>
/// <param name="Name">As results name it.</param>
/// <param name="Terms">a_0, a_1, … with their signs as in the formula above.</param>
public sealed record Window(string Name, ImmutableArray<double> Terms)
{
    public static Window Rectangular { get; } = new("rectangular", [1]);
    public static Window Hann { get; } = new("Hann", [0.5, 0.5]);
    public static Window Hamming { get; } = new("Hamming", [0.54, 0.46]);
    public static Window Blackman { get; } = new("Blackman", [0.42, 0.5, 0.08]);
    public static Window ExactBlackman { get; } = new("exact Blackman", [7938.0 / 18608, 9240.0 / 18608, 1430.0 / 18608]);
    public static Window BlackmanHarris { get; } = new("Blackman-Harris −92 dB", [0.35875, 0.48829, 0.14128, 0.01168]);
    public static Window Nuttall { get; } = new("Nuttall −98 dB", [0.3635819, 0.4891775, 0.1365995, 0.0106411]);
    public static Window FlatTop { get; } = new("flat top", [0.21557895, 0.41663158, 0.277263158, 0.083578947, 0.006947368]);
    public static Window Hft70 { get; } = new("HFT70", [1, 1.90796, 1.07349, 0.18199]);
    public static Window Hft95 { get; } = new("HFT95", [1, 1.9383379, 1.3045202, 0.4028270, 0.0350665]);

    public static ImmutableArray<Window> All { get; } = [Rectangular, Hann, Hamming, Blackman, ExactBlackman, BlackmanHarris, Nuttall, FlatTop, Hft70, Hft95];

    /// <summary>Mean of the window: a sine of amplitude A in the middle of a bin reads A·gain/2.</summary>
    public double CoherentGain => Terms[0];

    /// <summary>Equivalent noise bandwidth in bins: N Σw² / (Σw)², in closed form.</summary>
    public double NoiseBins => (Terms[0] * Terms[0] + Terms.Skip(1).Sum(a => a * a) / 2) / (Terms[0] * Terms[0]);

    /// <summary>How much too low a sine halfway between two bins reads, dB ≥ 0 (long windows).</summary>
    public double ScallopingDb => Decibels.Of(Terms[0] / Kernel(0.5));

    /// <summary>Half the width of the main lobe in bins: 1 for the rectangle, one more for each term.</summary>
    public int LobeBins => Terms.Length;

    /// <summary>Magnitude of the window's transform <paramref name="bins"/> away from a sine, times 1/N, for long windows.</summary>
    public double Kernel(double bins)
    {
        if (double.IsNaN(bins)) throw new ArgumentOutOfRangeException(nameof(bins), bins, "An offset in bins is a number.");
        var x = Math.Abs(bins);
        if (x == Math.Round(x)) return x == 0 ? Terms[0] : x < Terms.Length ? Math.Abs(Terms[(int)x]) / 2 : 0;
        var sum = Terms[0] / x;
        for (var k = 1; k < Terms.Length; k++) sum += (k % 2 == 0 ? 1 : -1) * Terms[k] * x / (x * x - (double)k * k);
        return Math.Abs(Math.Sin(Math.PI * x) / Math.PI * sum);
    }

    /// <summary>The window's <paramref name="length"/> samples (at least 1). The array is shared: read it, do not write it.</summary>
    public double[] Samples(int length)
    {
        if (length < 1) throw new ArgumentOutOfRangeException(nameof(length), length, "A window has at least one sample.");
        return length > 1 << 18 ? Make(length) : Kept.GetOrAdd((this, length), static key => key.Item1.Make(key.Item2));
    }

    private static readonly ConcurrentDictionary<(Window, int), double[]> Kept = new();

    private double[] Make(int length)
    {
        var made = new double[length];
        for (var n = 0; n < length; n++)
        {
            var sum = Terms[0];
            for (var k = 1; k < Terms.Length; k++) sum += (k % 2 == 0 ? 1 : -1) * Terms[k] * Math.Cos(2 * Math.PI * k * n / length);
            made[n] = sum;
        }
        return made;
    }

    // Compared by name: the terms behind a name never change, and a key must be cheap.
    public bool Equals(Window? other) => other is not null && other.Name == Name && other.Terms.SequenceEqual(Terms);
    public override int GetHashCode() => Name.GetHashCode(StringComparison.Ordinal);
    public override string ToString() => Name;
}
