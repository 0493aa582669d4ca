using System.Numerics;
using System.Runtime.InteropServices;

namespace Bellwire.Signals;

/// <summary>Sums over samples as vectors. Lengths are the caller's business.</summary>
internal static class Sums
{
    public static (double Sum, double Squares, double Lowest, double Highest) Moments(ReadOnlySpan<double> x)
    {
        var v = MemoryMarshal.Cast<double, Vector<double>>(x);
        Vector<double> sum = default, squares = default;
        var low = new Vector<double>(double.PositiveInfinity);
        var high = new Vector<double>(double.NegativeInfinity);
        foreach (var a in v)
        {
            sum += a;
            squares += a * a;
            low = Vector.Min(low, a);
            high = Vector.Max(high, a);
        }
        var (s, q, l, h) = (Vector.Sum(sum), Vector.Sum(squares), double.PositiveInfinity, double.NegativeInfinity);
        for (var i = 0; i < Vector<double>.Count; i++) { l = Math.Min(l, low[i]); h = Math.Max(h, high[i]); }
        for (var i = v.Length * Vector<double>.Count; i < x.Length; i++)
        {
            s += x[i];
            q += x[i] * x[i];
            l = Math.Min(l, x[i]);
            h = Math.Max(h, x[i]);
        }
        return (s, q, l, h);
    }

    public static double Dot(ReadOnlySpan<double> a, ReadOnlySpan<double> b)
    {
        var va = MemoryMarshal.Cast<double, Vector<double>>(a);
        var vb = MemoryMarshal.Cast<double, Vector<double>>(b)[..va.Length];
        Vector<double> one = default, two = default;
        var i = 0;
        for (; i + 1 < va.Length; i += 2) { one += va[i] * vb[i]; two += va[i + 1] * vb[i + 1]; }
        if (i < va.Length) one += va[i] * vb[i];
        var sum = Vector.Sum(one + two);
        for (i = va.Length * Vector<double>.Count; i < a.Length; i++) sum += a[i] * b[i];
        return sum;
    }

    public static void Multiply(ReadOnlySpan<double> a, ReadOnlySpan<double> b, Span<double> into)
    {
        var va = MemoryMarshal.Cast<double, Vector<double>>(a);
        var vb = MemoryMarshal.Cast<double, Vector<double>>(b)[..va.Length];
        var vi = MemoryMarshal.Cast<double, Vector<double>>(into)[..va.Length];
        for (var i = 0; i < va.Length; i++) vi[i] = va[i] * vb[i];
        for (var i = va.Length * Vector<double>.Count; i < a.Length; i++) into[i] = a[i] * b[i];
    }

    /// <summary>Middle of the values (the mean of two for an even count); the span is put in order.</summary>
    public static double Median(Span<double> values)
    {
        values.Sort();
        return values.Length % 2 == 1 ? values[values.Length / 2] : (values[values.Length / 2 - 1] + values[values.Length / 2]) / 2;
    }
}
