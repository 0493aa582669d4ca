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

    /// <summary>What passes over one edge: mass = by × down × prior is added to the mass below, and mass × up to the flow. Returns the sum of the latter.</summary>
    public static double Pass(double by, ReadOnlySpan<double> down, ReadOnlySpan<double> prior, Span<double> below, ReadOnlySpan<double> up, Span<double> flow)
    {
        var n = down.Length;
        prior = prior[..n];
        below = below[..n];
        up = up[..n];
        flow = flow[..n];
        double all = 0;
        var l = 0;
        if (Vector.IsHardwareAccelerated && n >= Vector<double>.Count)
        {
            var sum = Vector<double>.Zero;
            for (; l <= n - Vector<double>.Count; l += Vector<double>.Count)
            {
                var mass = new Vector<double>(down[l..]) * by * new Vector<double>(prior[l..]);
                (new Vector<double>(below[l..]) + mass).CopyTo(below[l..]);
                var through = mass * new Vector<double>(up[l..]);
                (new Vector<double>(flow[l..]) + through).CopyTo(flow[l..]);
                sum += through;
            }
            all = Vector.Sum(sum);
        }
        for (; l < n; l++)
        {
            var mass = down[l] * by * prior[l];
            below[l] += mass;
            flow[l] += mass * up[l];
            all += mass * up[l];
        }
        return all;
    }
}
