using System.Numerics;

namespace Bellwire.Reasoning.Diagram;

/// <summary>Sums over lanes (one number for each combination of causes), several at a time where the machine can.</summary>
internal static class Lanes
{
    /// <summary>into += by × a × b, number by number. All spans are equally long.</summary>
    public static void AddProduct(Span<double> into, double by, ReadOnlySpan<double> a, ReadOnlySpan<double> b)
    {
        a = a[..into.Length];
        b = b[..into.Length];
        var l = 0;
        if (Vector.IsHardwareAccelerated && into.Length >= Vector<double>.Count)
            for (; l <= into.Length - Vector<double>.Count; l += Vector<double>.Count)
                (new Vector<double>(into[l..]) + new Vector<double>(a[l..]) * by * new Vector<double>(b[l..])).CopyTo(into[l..]);
        for (; l < into.Length; l++) into[l] += a[l] * by * b[l];
    }

    /// <summary>into += a, number by number.</summary>
    public static void Add(Span<double> into, ReadOnlySpan<double> a)
    {
        a = a[..into.Length];
        for (var l = 0; l < into.Length; l++) into[l] += a[l];
    }
}
