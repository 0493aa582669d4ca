using System.Collections.Concurrent;
using System.Numerics;

namespace Bellwire.Signals;

/// <summary>Transform of a real sequence of power-of-two length through a complex one of half the length (Press et al.,
/// "Numerical Recipes", 2nd ed. 1992, §12.3). The tables are shared; every caller brings its own arrays.</summary>
public sealed class RealFft
{
    private static readonly ConcurrentDictionary<int, RealFft> Kept = new();
    private readonly ComplexFft _half;
    private readonly double[] _cos, _sin;

    public int Length { get; }
    /// <summary>N/2 + 1.</summary>
    public int Bins => Length / 2 + 1;

    /// <summary>The transform of this length: a power of two, 2..2^26.</summary>
    public static RealFft Of(int length)
    {
        if (length < 2 || length > 1 << 26 || !BitOperations.IsPow2(length)) throw new ArgumentOutOfRangeException(nameof(length), length, "A real transform's length is a power of two, 2 to 2^26.");
        return Kept.GetOrAdd(length, static n => new RealFft(n));
    }

    private RealFft(int length)
    {
        Length = length;
        _half = ComplexFft.Of(length / 2);
        (_cos, _sin) = (new double[length / 4 + 1], new double[length / 4 + 1]);
        for (var k = 0; k < _cos.Length; k++) (_sin[k], _cos[k]) = Math.SinCos(-2 * Math.PI * k / length);
    }

    /// <summary>Bins 0..N/2 of X(k) = Σ x(n) e^(−2πikn/N).</summary>
    /// <param name="real">N/2 + 1 values, overwritten.</param>
    /// <param name="imaginary">N/2 + 1 values, overwritten.</param>
    public void Forward(ReadOnlySpan<double> samples, Span<double> real, Span<double> imaginary)
    {
        if (samples.Length != Length) throw new ArgumentException($"This transform takes {Length} samples, not {samples.Length}.", nameof(samples));
        if (real.Length != Bins || imaginary.Length != Bins) throw new ArgumentException($"This transform gives {Bins} bins, not {real.Length} and {imaginary.Length}.");
        var half = Length / 2;
        for (var n = 0; n < half; n++) { real[n] = samples[2 * n]; imaginary[n] = samples[2 * n + 1]; }
        _half.Forward(real[..half], imaginary[..half]);
        var (r0, i0) = (real[0], imaginary[0]);
        (real[0], imaginary[0]) = (r0 + i0, 0);
        (real[half], imaginary[half]) = (r0 - i0, 0);
        for (var k = 1; k <= half / 2; k++)
        {
            var m = half - k;
            var (er, ei) = (0.5 * (real[k] + real[m]), 0.5 * (imaginary[k] - imaginary[m]));
            var (or, oi) = (0.5 * (imaginary[k] + imaginary[m]), -0.5 * (real[k] - real[m]));
            var (tr, ti) = (or * _cos[k] - oi * _sin[k], or * _sin[k] + oi * _cos[k]);
            (real[k], imaginary[k]) = (er + tr, ei + ti);
            if (m != k) (real[m], imaginary[m]) = (er - tr, ti - ei);
        }
    }

    /// <summary>The sequence whose bins 0..N/2 these are; the spectrum is overwritten with scratch.</summary>
    public void Inverse(Span<double> real, Span<double> imaginary, Span<double> samples)
    {
        if (samples.Length != Length) throw new ArgumentException($"This transform gives {Length} samples, not {samples.Length}.", nameof(samples));
        if (real.Length != Bins || imaginary.Length != Bins) throw new ArgumentException($"This transform takes {Bins} bins, not {real.Length} and {imaginary.Length}.");
        var half = Length / 2;
        var (first, last) = (real[0], real[half]);
        for (var k = 1; k <= half / 2; k++)
        {
            var m = half - k;
            var (er, ei) = (0.5 * (real[k] + real[m]), 0.5 * (imaginary[k] - imaginary[m]));
            var (tr, ti) = (0.5 * (real[k] - real[m]), 0.5 * (imaginary[k] + imaginary[m]));
            var (or, oi) = (tr * _cos[k] + ti * _sin[k], ti * _cos[k] - tr * _sin[k]);
            (real[k], imaginary[k]) = (er - oi, ei + or);
            if (m != k) (real[m], imaginary[m]) = (er + oi, or - ei);
        }
        (real[0], imaginary[0]) = (0.5 * (first + last), 0.5 * (first - last));
        _half.Inverse(real[..half], imaginary[..half]);
        for (var n = 0; n < half; n++) { samples[2 * n] = real[n]; samples[2 * n + 1] = imaginary[n]; }
    }
}
