namespace Bellwire.Signals;

/// <summary>Noise as the meter of ITU-R BS.468 reads it: 468 weighting, full-wave rectifier, two peak detectors in a row; a 1 kHz sine
/// reads its RMS.</summary>
/// <param name="Steady">Middle of the readings after the first second, RMS re full scale.</param>
/// <param name="Highest">Highest reading.</param>
public sealed record QuasiPeak(double Steady, double Highest, HowMeasured How)
{
    // Seconds of rise and fall, fitted to the Recommendation's table of bursts.
    private const double Rise1 = 0.00126055, Fall1 = 0.252024, Rise2 = 0.194115, Fall2 = 0.297209;

    public double SteadyDbfs => Decibels.Of(Steady);

    /// <summary>Reads a channel of at least one second; null when shorter.</summary>
    public static QuasiPeak? Measure(ReadOnlySpan<double> samples, int rate)
    {
        Samples.Rate(rate);
        if (samples.Length < rate) return null;
        var weighted = Filter.Weigh(samples, rate, Weighting.Itu468);
        var readings = Detect(weighted, rate);
        // What a rectified 1 kHz sine of peak 1 reads: the yardstick of the Recommendation.
        var yard = new double[3 * rate];
        var hertz = Math.Min(1000, rate / 10.0);
        for (var n = 0; n < yard.Length; n++) yard[n] = Math.Sin(2 * Math.PI * hertz * n / rate);
        var scale = Math.Sqrt(0.5) / Detect(yard, rate).Max();
        var settled = readings.Skip(Math.Min(10, readings.Count - 1)).ToArray();
        return new(scale * Sums.Median(settled), scale * readings.Max(), new("468 weighting, quasi-peak meter of BS.468", "none", 0, rate / 2.0, 0.5,
            rate < 40_000 ? [$"the rate of {rate} Hz leaves nothing above {rate / 2} Hz"] : []));
    }

    /// <summary>The pointer's place, its highest in each tenth of a second.</summary>
    private static List<double> Detect(double[] x, int rate)
    {
        double Share(double seconds) => 1 - Math.Exp(-1 / (rate * seconds));
        var (a1, d1, a2, d2) = (Share(Rise1), Share(Fall1), Share(Rise2), Share(Fall2));
        double first = 0, second = 0, highest = 0;
        var readings = new List<double>();
        for (var n = 0; n < x.Length; n++)
        {
            var v = Math.Abs(x[n]);
            first += (v > first ? a1 * (v - first) : 0) - d1 * first;
            second += (first > second ? a2 * (first - second) : 0) - d2 * second;
            highest = Math.Max(highest, second);
            if ((n + 1) % (rate / 10) != 0 && n + 1 != x.Length) continue;
            readings.Add(highest);
            highest = 0;
        }
        return readings;
    }
}
