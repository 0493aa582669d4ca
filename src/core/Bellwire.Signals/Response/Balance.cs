using System.Collections.Immutable;

namespace Bellwire.Signals;

/// <summary>How much louder the second of two channels is than the first, for one wide sound on both: pink noise, a sweep, music.</summary>
/// <param name="Db">Mean over the third octaves of their differences, dB; above 0 when the second is louder.</param>
/// <param name="Bands">Centre of each third octave (IEC 61260) and the difference there, dB.</param>
/// <param name="WorstHertz">Where it departs most from the mean, and <paramref name="WorstDb"/> the difference there.</param>
public sealed record Balance(double Db, ImmutableArray<(double Hertz, double Db)> Bands, double WorstHertz, double WorstDb, HowMeasured How)
{
    private const double LeastRange = 50; // dB under the loudest band: what lies deeper is noise, not sound

    /// <param name="first">One channel, and <paramref name="second"/> the other; of equal length.</param>
    /// <exception cref="ArgumentException">Unequal lengths.</exception>
    public static (Balance? Result, string Why) Measure(ReadOnlySpan<double> first, ReadOnlySpan<double> second, int rate)
    {
        if (first.Length != second.Length) throw new ArgumentException($"The channels have {first.Length} and {second.Length} samples.", nameof(second));
        if (first.Length < rate) return (null, "Balance needs a second of recording at least; ten are better.");
        var size = 1 << (int)Math.Log2(Math.Min(rate, first.Length));
        var (a, b) = (SpectrumMeter.Measure(first, rate, size, Window.Hann)!, SpectrumMeter.Measure(second, rate, size, Window.Hann)!);
        var bands = new List<(double Hertz, double First, double Second, double Spread)>();
        for (var n = -10; n <= 10; n++)
        {
            var centre = 1000 * Math.Pow(10, n / 10.0);
            var (low, high) = (centre * Math.Pow(10, -0.05), centre * Math.Pow(10, 0.05));
            if (high > 0.45 * rate || low < 4.0 * rate / size) continue;
            bands.Add((centre, a.Band(low, high), b.Band(low, high), 2 * 4.343 * Math.Sqrt(2 / ((high - low) * first.Length / rate))));
        }
        double Loudest(Func<(double, double First, double Second, double), double> of) => bands.Count == 0 ? 0 : bands.Max(of);
        var (most1, most2, down) = (Loudest(x => x.First), Loudest(x => x.Second), Math.Pow(10, -LeastRange / 10));
        if (!(most1 > 1e-12) || !(most2 > 1e-12)) return (null, $"The {(most1 > 1e-12 ? "second" : "first")} channel is silent: balance takes the same sound on both.");
        var heard = bands.Where(x => x.First > most1 * down && x.Second > most2 * down).ToList();
        // A tone fills one band and its neighbours; half of the bands must sound.
        if (heard.Count < Math.Max(5, bands.Count / 2)) return (null, "Only a few third octaves sound: play pink noise or a sweep on both, or take balance from a tone.");
        var each = heard.Select(x => (x.Hertz, Db: Decibels.OfPower(x.Second / x.First))).ToImmutableArray();
        var mean = each.Average(x => x.Db);
        var worst = each.MaxBy(x => Math.Abs(x.Db - mean));
        var uncertainty = Math.Sqrt(heard.Sum(x => x.Spread * x.Spread)) / heard.Count;
        return (new(mean, each, worst.Hertz, worst.Db, new($"third octaves of both channels, mean of {each.Length}", "Hann", each[0].Hertz, each[^1].Hertz, Math.Max(0.02, uncertainty))), "");
    }
}
