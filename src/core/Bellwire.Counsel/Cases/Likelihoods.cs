using System.Collections.Immutable;
using Bellwire.Sheets;

namespace Bellwire.Counsel;

/// <summary>How much an outcome, a reading or a word counts.</summary>
internal static class Likelihoods
{
    /// <summary>Meter spread, as a share of the reading (common practice, no source: ±1 %).</summary>
    private const double MeterSpread = 0.01;

    /// <summary>Share of readings that mean nothing: wrong point, wrong range, slip (estimate).</summary>
    private const double Outlier = 0.01;

    /// <summary>The owner's word on what happened: seldom claimed falsely, often not known (estimate).</summary>
    public static ImmutableDictionary<string, double> OfCause(bool happened) => happened
        ? ImmutableDictionary<string, double>.Empty.Add("yes", 0.9).Add("no", 0.05)
        : ImmutableDictionary<string, double>.Empty.Add("yes", 0.3).Add("no", 0.95);

    /// <summary>P(reading | state) up to a factor: the chance that the true value lies in each outcome's band,
    /// the meter's error normal about the reading, mixed over the check's matrix.</summary>
    public static ImmutableDictionary<string, double> OfReading(double value, CheckSpec check)
    {
        var states = check.Matrix.Values.SelectMany(m => m.Keys).Distinct().ToList();
        var shares = check.Bands.ToDictionary(b => b.Key, b => ShareIn(value, b.Value.Low, b.Value.High));
        return states.ToImmutableDictionary(s => s, s =>
            Outlier / check.Outcomes.Length + (1 - Outlier) * shares.Sum(o => o.Value * check.Matrix[o.Key].GetValueOrDefault(s)));
    }

    private static double ShareIn(double value, double low, double high)
    {
        if (double.IsInfinity(value)) return double.IsPositiveInfinity(high) && value > 0 ? 1 : 0;
        var spread = Math.Max(MeterSpread * Math.Abs(value), 1e-6);
        return Math.Max(0, Normal((high - value) / spread) - Normal((low - value) / spread));
    }

    /// <summary>Normal distribution function by Abramowitz &amp; Stegun 7.1.26 (|error| &lt; 1.5e-7).</summary>
    private static double Normal(double z)
    {
        if (double.IsInfinity(z)) return z > 0 ? 1 : 0;
        var x = Math.Abs(z) / Math.Sqrt(2);
        var t = 1 / (1 + 0.3275911 * x);
        var tail = t * (0.254829592 + t * (-0.284496736 + t * (1.421413741 + t * (-1.453152027 + t * 1.061405429)))) * Math.Exp(-x * x);
        return z >= 0 ? 1 - tail / 2 : tail / 2;
    }
}
