using System.Collections.Concurrent;
using System.Numerics;
using System.Runtime.InteropServices;

namespace Bellwire.Signals;

/// <summary>Radix-2 transform of a power-of-two length, in place, real and imaginary parts in arrays of their own so that the
/// butterflies of a stage run as vectors. Twiddles are tabled stage by stage (contiguous); tables are shared and never written.</summary>
public sealed class ComplexFft
{
    private static readonly ConcurrentDictionary<int, ComplexFft> Kept = new();
    private readonly int[] _swaps;
    private readonly double[][] _cos, _sin;

    public int Length { get; }

    /// <summary>The transform of this length: a power of two, 1..2^26.</summary>
    public static ComplexFft Of(int length)
    {
        if (length < 1 || length > 1 << 26 || !BitOperations.IsPow2(length)) throw new ArgumentOutOfRangeException(nameof(length), length, "A transform's length is a power of two up to 2^26.");
        return Kept.GetOrAdd(length, static n => new ComplexFft(n));
    }

    private ComplexFft(int length)
    {
        Length = length;
        var bits = BitOperations.Log2((uint)length);
        var swaps = new List<int>();
        for (uint i = 0; i < length; i++)
        {
            uint r = 0;
            for (var b = 0; b < bits; b++) r |= (i >> b & 1) << (bits - 1 - b);
            if (i < r) { swaps.Add((int)i); swaps.Add((int)r); }
        }
        _swaps = [.. swaps];
        (_cos, _sin) = (new double[bits][], new double[bits][]);
        for (var s = 0; s < bits; s++)
        {
            var half = 1 << s;
            (_cos[s], _sin[s]) = (new double[half], new double[half]);
            for (var j = 0; j < half; j++) (_sin[s][j], _cos[s][j]) = Math.SinCos(-Math.PI * j / half);
        }
    }

    /// <summary>X(k) = Σ x(n) e^(−2πikn/N), in place.</summary>
    public void Forward(Span<double> real, Span<double> imaginary)
    {
        if (real.Length != Length || imaginary.Length != Length) throw new ArgumentException($"This transform takes {Length} values, not {real.Length} and {imaginary.Length}.");
        for (var i = 0; i < _swaps.Length; i += 2)
        {
            var (a, b) = (_swaps[i], _swaps[i + 1]);
            (real[a], real[b]) = (real[b], real[a]);
            (imaginary[a], imaginary[b]) = (imaginary[b], imaginary[a]);
        }
        for (var s = 0; s < _cos.Length; s++)
            if (1 << s < Vector<double>.Count) Stage(real, imaginary, 1 << s, _cos[s], _sin[s]);
            else VectorStage(real, imaginary, 1 << s, _cos[s], _sin[s]);
    }

    /// <summary>x(n) = (1/N) Σ X(k) e^(+2πikn/N), in place: the forward transform with the parts exchanged.</summary>
    public void Inverse(Span<double> real, Span<double> imaginary)
    {
        Forward(imaginary, real);
        for (var i = 0; i < Length; i++) { real[i] /= Length; imaginary[i] /= Length; }
    }

    private static void Stage(Span<double> re, Span<double> im, int half, double[] cos, double[] sin)
    {
        for (var start = 0; start < re.Length; start += 2 * half)
            for (var j = 0; j < half; j++)
            {
                var (a, b) = (start + j, start + j + half);
                var tr = re[b] * cos[j] - im[b] * sin[j];
                var ti = re[b] * sin[j] + im[b] * cos[j];
                (re[b], im[b]) = (re[a] - tr, im[a] - ti);
                (re[a], im[a]) = (re[a] + tr, im[a] + ti);
            }
    }

    private static void VectorStage(Span<double> re, Span<double> im, int half, double[] cos, double[] sin)
    {
        var c = MemoryMarshal.Cast<double, Vector<double>>(cos);
        var s = MemoryMarshal.Cast<double, Vector<double>>(sin);
        for (var start = 0; start < re.Length; start += 2 * half)
        {
            var ra = MemoryMarshal.Cast<double, Vector<double>>(re.Slice(start, half));
            var rb = MemoryMarshal.Cast<double, Vector<double>>(re.Slice(start + half, half))[..ra.Length];
            var ia = MemoryMarshal.Cast<double, Vector<double>>(im.Slice(start, half))[..ra.Length];
            var ib = MemoryMarshal.Cast<double, Vector<double>>(im.Slice(start + half, half))[..ra.Length];
            var cw = c[..ra.Length];
            var sw = s[..ra.Length];
            for (var j = 0; j < ra.Length; j++)
            {
                var tr = rb[j] * cw[j] - ib[j] * sw[j];
                var ti = rb[j] * sw[j] + ib[j] * cw[j];
                (rb[j], ib[j]) = (ra[j] - tr, ia[j] - ti);
                (ra[j], ia[j]) = (ra[j] + tr, ia[j] + ti);
            }
        }
    }
}
