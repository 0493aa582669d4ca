using System.Collections.Immutable;

namespace Bellwire.Signals;

public static partial class ResponseMeter
{
    private const double FoundTimes = 12;
    private const int Thinned = 8, Compared = 1 << 18;

    /// <summary>From pink noise: third octaves of what in the recording follows what was played, over those of what was played, of the stretch
    /// that both have (Bendat and Piersol, Random Data, 4th ed. 2010, §6.1 and §9.2: cross spectra; noise that was not played drops out, and
    /// the coherence tells the uncertainty). Where what
    /// was played is not found in it, over ideal pink noise – equal power in every third octave –, relative to 1 kHz, which is said.</summary>
    /// <param name="recorded">One channel; any delay. The first two minutes count. Noise that stops before the recording does lowers
    /// every point alike.</param>
    /// <param name="played">What was played, such as <see cref="TestSignals.Pink"/>; empty for pink noise from elsewhere.</param>
    public static (Response? Result, string Why) ByPink(ReadOnlySpan<double> recorded, ReadOnlySpan<double> played, int rate)
    {
        Samples.Rate(rate);
        recorded = recorded[..(int)Math.Min(recorded.Length, 120L * rate)];
        if (recorded.Length < rate || (played.Length > 0 && played.Length < rate)) return (null, "Pink noise needs a second of recording at least; ten are better.");
        var (delay, found) = (0, false);
        if (played.Length > 0)
        {
            delay = Begins(played, recorded, out var times);
            found = times > FoundTimes;
        }
        if (found)
        {
            var (at, from) = (Math.Max(0, delay), Math.Max(0, -delay));
            var both = Math.Min(recorded.Length - at, played.Length - from);
            if (both < rate) return (null, "Less than a second of the pink noise is in the recording. Record from before its start to after its end.");
            recorded = recorded.Slice(at, both);
            played = played.Slice(from, both);
        }
        var size = 1 << (int)Math.Log2(Math.Min(rate, recorded.Length));
        var ours = found ? Cross.Of(played, recorded, size) : null;
        var alone = found ? null : SpectrumMeter.Measure(recorded, rate, size, Window.Hann)!;
        var points = ImmutableArray.CreateBuilder<ResponsePoint>();
        var worst = 0.02;
        for (var n = -14; n <= 13; n++)
        {
            // IEC 61260: centre 1000·10^(n/10), edges a twentieth of a decade away.
            var centre = 1000 * Math.Pow(10, n / 10.0);
            var (low, high) = (centre * Math.Pow(10, -0.05), centre * Math.Pow(10, 0.05));
            if (high > 0.45 * rate || low < 4.0 * rate / size) continue;
            var (power, uncertainty) = ours?.Band(low * size / rate, high * size / rate) ?? (alone!.Band(low, high), 2 * 4.343 / Math.Sqrt((high - low) * recorded.Length / rate));
            if (!(power > 1e-24)) continue;
            points.Add(new(centre, Decibels.OfPower(power)));
            worst = Math.Max(worst, uncertainty);
        }
        if (points.Count < 10) return (null, "There is no pink noise in the recording: hardly a third octave sounds. Play it louder, or record nearer.");
        var middle = points.MinBy(p => Math.Abs(Math.Log(p.Hertz / 1000)))!.Db;
        ImmutableArray<ResponsePoint> told = found ? points.ToImmutable() : [.. points.Select(p => p with { Db = p.Db - middle })];
        ImmutableArray<string> warnings = found ? [] : ["the pink noise of this program was not found in it: told against ideal pink noise, and whatever else sounds counts as response"];
        return (new(told, (double)delay / rate, new(found ? "pink noise, third octaves over those played" : "pink noise from elsewhere, third octaves re 1 kHz", "Hann", told[0].Hertz, told[^1].Hertz, worst, warnings)), "");
    }

    /// <summary>Where the noise begins, samples: found in means of eight, which take an eighth of the memory, then to the sample.</summary>
    private static int Begins(ReadOnlySpan<double> played, ReadOnlySpan<double> recorded, out double times)
    {
        var rough = Thinned * Delay(Means(played), Means(recorded), out times);
        var (best, most) = (rough, 0.0);
        for (var lag = rough - Thinned; lag <= rough + Thinned; lag++)
        {
            var (at, from) = (Math.Max(0, lag), Math.Max(0, -lag));
            var length = Math.Min(Compared, Math.Min(recorded.Length - at, played.Length - from));
            if (length <= 0) continue;
            var alike = Math.Abs(Sums.Dot(recorded.Slice(at, length), played.Slice(from, length)));
            if (alike > most) (best, most) = (lag, alike);
        }
        return best;
    }

    private static double[] Means(ReadOnlySpan<double> x)
    {
        var means = new double[x.Length / Thinned];
        for (var n = 0; n < means.Length; n++)
            for (var k = 0; k < Thinned; k++) means[n] += x[n * Thinned + k] / Thinned;
        return means;
    }

    /// <summary>Spectra of two signals and their cross spectrum, averaged over Hann segments overlapping by half.</summary>
    private sealed record Cross(double[] Played, double[] Recorded, double[] Re, double[] Im, int Segments)
    {
        public static Cross Of(ReadOnlySpan<double> played, ReadOnlySpan<double> recorded, int size)
        {
            var (fft, weights) = (RealFft.Of(size), Window.Hann.Samples(size));
            var (shaped, xr, xi, yr, yi) = (new double[size], new double[fft.Bins], new double[fft.Bins], new double[fft.Bins], new double[fft.Bins]);
            var sums = new Cross(new double[fft.Bins], new double[fft.Bins], new double[fft.Bins], new double[fft.Bins], 1 + (recorded.Length - size) / (size / 2));
            for (var s = 0; s < sums.Segments; s++)
            {
                Sums.Multiply(played.Slice(s * (size / 2), size), weights, shaped);
                fft.Forward(shaped, xr, xi);
                Sums.Multiply(recorded.Slice(s * (size / 2), size), weights, shaped);
                fft.Forward(shaped, yr, yi);
                for (var k = 0; k < xr.Length; k++)
                {
                    sums.Played[k] += xr[k] * xr[k] + xi[k] * xi[k];
                    sums.Recorded[k] += yr[k] * yr[k] + yi[k] * yi[k];
                    sums.Re[k] += xr[k] * yr[k] + xi[k] * yi[k];
                    sums.Im[k] += xr[k] * yi[k] - xi[k] * yr[k];
                }
            }
            return sums;
        }

        /// <summary>Power that follows over power played, and two standard deviations of it, dB.</summary>
        public (double Power, double UncertaintyDb) Band(double lowBin, double highBin)
        {
            double follows = 0, played = 0, all = 0;
            var bins = 0;
            for (var k = (int)Math.Ceiling(lowBin); k <= highBin && k < Re.Length; k++, bins++)
            {
                follows += Played[k] > 0 ? (Re[k] * Re[k] + Im[k] * Im[k]) / Played[k] : 0;
                played += Played[k];
                all += Recorded[k];
            }
            if (!(played > 0 && follows > 0)) return (0, 0);
            var coherence = Math.Min(1, follows / all);
            return (follows / played, 2 * 8.686 * Math.Sqrt((1 - coherence) / (2 * coherence * Math.Max(1, 0.6 * Segments * bins))));
        }
    }
}
