using System.Collections.Immutable;

namespace Bellwire.Counsel;

/// <summary>A reading among all that could have been read: what was seen is a slit as wide as the meter is uncertain, the other outcomes are bins of so many slits.</summary>
internal static class Slits
{
    /// <summary>Bins in which a reading's surprise is judged.</summary>
    private const int Bins = 40;

    /// <param name="at">What was read, on the scale of <paramref name="span"/>.</param>
    /// <param name="slit">Uncertainty of the meter there, above 0.</param>
    /// <param name="density">Value → p per unit of the scale, for each state in turn.</param>
    public static WeighedReading Of(ImmutableArray<string> states, double at, double slit, (double Low, double High) span, Func<double, double[]> density)
    {
        var width = (span.High - span.Low) / Bins;
        // Fine enough that no hill as narrow as the meter is missed.
        var pieces = (int)Math.Clamp(Math.Ceiling(width / (2 * slit)), 4, 16);
        var bins = new List<double[]> { Given(at, slit) };
        var alike = new List<double> { 1 };
        for (var k = 0; k < Bins; k++)
        {
            double from = span.Low + k * width, piece = width / pieces;
            double[][] parts = [.. Enumerable.Range(0, pieces).Select(i => Given(from + (i + 0.5) * piece, piece))];
            bins.Add([.. states.Select((_, s) => Math.Min(1, parts.Sum(p => p[s])))]);
            alike.Add(Math.Max(1, width / slit));
        }
        return new(Named(bins[0]), [.. bins.Select(Named)], [.. alike]);

        double[] Given(double value, double wide) => [.. density(value).Select(p => Math.Min(1, wide * p))];
        ImmutableDictionary<string, double> Named(double[] p) => states.Select((s, i) => (s, p[i])).ToImmutableDictionary(x => x.s, x => x.Item2);
    }
}
