using System.Collections.Immutable;

namespace Bellwire.Signals;

/// <summary>A howl: one tone that takes over and stays.</summary>
/// <param name="Share">Of the power above 100 Hz that lies in it, 0..1, middle of its course.</param>
/// <param name="GrowthDb">How its level moved, dB a second; near 0 once it limits.</param>
public sealed record Howl(double At, double Seconds, double Hertz, double Share, double GrowthDb);

/// <summary>Motor-boating: the level pulses slowly and evenly.</summary>
/// <param name="Hertz">Pulses a second, 0.5..20.</param>
/// <param name="DepthDb">From loudest to quietest within a pulse (ninth to first tenth of all 10 ms slots).</param>
/// <param name="Regular">Correlation of the envelope with itself one pulse later, −1..1.</param>
public sealed record MotorBoating(double Hertz, double DepthDb, double Regular);

/// <summary>Finds oscillation of a set that should be quiet or playing; a test tone looks like a howl, so do not play one.</summary>
public static class OscillationMeter
{
    /// <summary>Howls: half or more of the power above 100 Hz in one line that keeps its place (within 1 %) for half a second or longer.</summary>
    /// <param name="lineHertz">Harmonics of the line are hum, not howl.</param>
    public static (ImmutableArray<Howl> Howls, HowMeasured How) Howls(ReadOnlySpan<double> samples, int rate, double lineHertz = 60)
    {
        Samples.Rate(rate);
        var size = 1 << (int)Math.Round(Math.Log2(0.085 * rate));
        var (hop, fft, weights) = (size / 2, RealFft.Of(size), Window.Hann.Samples(size));
        var (shaped, re, im) = (new double[size], new double[fft.Bins], new double[fft.Bins]);
        var found = ImmutableArray.CreateBuilder<Howl>();
        var run = new List<(double Hertz, double Share, double Db)>();
        void End(int frame)
        {
            var seconds = (double)run.Count * hop / rate;
            if (seconds >= 0.5)
                found.Add(new((double)(frame - run.Count) * hop / rate, seconds, Sums.Median([.. run.Select(r => r.Hertz)]), Sums.Median([.. run.Select(r => r.Share)]), (run[^1].Db - run[0].Db) / seconds));
            run.Clear();
        }
        var low = Math.Max(4, 100 * size / rate);
        var n = 0;
        for (; (n * hop) + size <= samples.Length; n++)
        {
            Sums.Multiply(samples.Slice(n * hop, size), weights, shaped);
            fft.Forward(shaped, re, im);
            double all = 0;
            var best = low;
            for (var k = low; k < re.Length; k++) { re[k] = re[k] * re[k] + im[k] * im[k]; all += re[k]; if (re[k] > re[best]) best = k; }
            double own = 0, middle = 0;
            for (var k = Math.Max(low, best - 2); k <= Math.Min(re.Length - 1, best + 2); k++) { own += re[k]; middle += re[k] * k; }
            var hertz = own > 0 ? middle / own * rate / size : 0;
            var level = Decibels.OfPower(own / ((double)size * size));
            var hum = Math.Abs(hertz / lineHertz - Math.Round(hertz / lineHertz)) * lineHertz < 3 && hertz < 8 * lineHertz;
            var howling = level > -90 && own > 0.5 * all && !hum;
            if (run.Count > 0 && (!howling || Math.Abs(hertz / run[^1].Hertz - 1) > 0.01)) End(n);
            if (howling) run.Add((hertz, own / all, level));
        }
        End(n);
        return (found.ToImmutable(), new("strongest line of overlapping spectra, kept for half a second", "Hann", 100, rate / 2.0, 0.5));
    }

    /// <summary>Motor-boating of the whole recording, or null: envelope in 10 ms slots, depth 6 dB or more, and a pulse that repeats
    /// (autocorrelation 0.5 or more) 0.5 to 20 times a second.</summary>
    public static MotorBoating? Pulses(ReadOnlySpan<double> samples, int rate)
    {
        Samples.Rate(rate);
        var slot = Math.Max(1, rate / 100);
        var count = Math.Min(samples.Length / slot, 60_000);
        if (count < 300) return null; // less than three seconds
        var envelope = new double[count];
        for (var i = 0; i < count; i++) envelope[i] = Decibels.OfPower(Math.Max(1e-12, Sums.Moments(samples.Slice(i * slot, slot)).Squares / slot));
        double[] sorted = [.. envelope.Order()];
        var depth = sorted[count * 9 / 10] - sorted[count / 10];
        if (depth < 6) return null;
        var mean = envelope.Average();
        var power = envelope.Average(e => (e - mean) * (e - mean));
        // 20 a second is a lag of 5 slots, one in two seconds a lag of 200.
        var lags = Enumerable.Range(0, Math.Min(220, count / 2)).Select(lag =>
        {
            var sum = 0.0;
            for (var i = 0; i + lag < count; i++) sum += (envelope[i] - mean) * (envelope[i + lag] - mean);
            return sum / (count - lag) / power;
        }).ToArray();
        var start = Array.FindIndex(lags, l => l < 0.2);
        if (start < 0) return null;
        var best = -1;
        for (var lag = Math.Max(5, start); lag < Math.Min(201, lags.Length - 1); lag++)
            if (lags[lag] >= lags[lag - 1] && lags[lag] >= lags[lag + 1] && lags[lag] > 0.5 && (best < 0 || lags[lag] > lags[best] + 0.1)) best = lag;
        if (best < 0) return null;
        var bend = lags[best - 1] - 2 * lags[best] + lags[best + 1];
        var at = best + (bend < 0 ? 0.5 * (lags[best - 1] - lags[best + 1]) / bend : 0);
        return new(rate / (slot * at), depth, lags[best]);
    }
}
