using System.Collections.Immutable;

namespace Bellwire.Signals;

/// <summary>Response at one frequency.</summary>
/// <param name="Db">What comes back over what was sent, dB.</param>
/// <param name="Second">Second harmonic of a tone here over its fundamental, a ratio; null where not measured or out of band.</param>
/// <param name="Third">The same for the third.</param>
public sealed record ResponsePoint(double Hertz, double Db, double? Second = null, double? Third = null);

/// <summary>A response over frequency.</summary>
/// <param name="Points">Rising in frequency.</param>
/// <param name="DelaySeconds">How late the recording is; taken out.</param>
public sealed record Response(ImmutableArray<ResponsePoint> Points, double DelaySeconds, HowMeasured How)
{
    /// <summary>Response at a frequency inside the points, straight through decibels over log frequency.</summary>
    public double At(double hertz)
    {
        if (Points.IsEmpty || !(hertz >= Points[0].Hertz && hertz <= Points[^1].Hertz)) throw new ArgumentOutOfRangeException(nameof(hertz), hertz, $"Measured from {Points.FirstOrDefault()?.Hertz} to {Points.LastOrDefault()?.Hertz} Hz.");
        var i = 1;
        while (i < Points.Length - 1 && Points[i].Hertz < hertz) i++;
        var (a, b) = (Points[Math.Max(0, i - 1)], Points[Math.Min(i, Points.Length - 1)]);
        return a.Hertz == b.Hertz ? a.Db : a.Db + (b.Db - a.Db) * Math.Log(hertz / a.Hertz) / Math.Log(b.Hertz / a.Hertz);
    }
}

/// <summary>Responses of a recording of a known signal.</summary>
public static partial class ResponseMeter
{
    /// <summary>From tones one after another; the recording may start earlier and end later than what was played.</summary>
    public static (Response? Result, string Why) BySteps(ReadOnlySpan<double> recorded, int rate, IReadOnlyList<double> hertz, double secondsEach, double peakDbfs)
    {
        var played = TestSignals.Steps(rate, hertz, secondsEach, peakDbfs);
        if (recorded.Length < played.Frames * 0.9) return (null, FormattableString.Invariant($"The recording lasts {(double)recorded.Length / rate:0.0} s; what was played lasts {played.Seconds:0.0} s. Record from before the start to after the end."));
        if (recorded.Length > played.Frames + LongestWait * (long)rate) recorded = recorded[..(played.Frames + LongestWait * rate)];
        var delay = Delay(played[0], recorded);
        var each = (int)Math.Round(secondsEach * rate);
        var points = new List<(double Hertz, double Db)>();
        var worst = 0.02;
        for (var i = 0; i < hertz.Count; i++)
        {
            var from = delay + i * each + each * 3 / 20;
            if (from < 0 || from + each * 7 / 10 > recorded.Length) continue;
            var tone = SineFit.At(recorded.Slice(from, each * 7 / 10), rate, hertz[i]);
            points.Add((hertz[i], Decibels.Of(tone.Peak) - peakDbfs));
            worst = Math.Max(worst, Math.Min(40, tone.How.UncertaintyDb));
        }
        return points.Count == 0 ? (null, "None of the tones was found whole in the recording.")
            : (new([.. points.OrderBy(p => p.Hertz).Select(p => new ResponsePoint(p.Hertz, p.Db))], (double)delay / rate, new("stepped tones, sine fit at each", "Hann", points.Min(p => p.Hertz), points.Max(p => p.Hertz), worst)), "");
    }

    /// <summary>Where in the recording the played signal begins, samples.</summary>
    internal static int Delay(ReadOnlySpan<double> played, ReadOnlySpan<double> recorded) => Delay(played, recorded, out _);

    /// <summary>The same: the highest correlation, samples.</summary>
    /// <param name="times">How many times it stands over the mean square root of all correlations; noise of its own reaches about 5.</param>
    internal static int Delay(ReadOnlySpan<double> played, ReadOnlySpan<double> recorded, out double times)
    {
        var size = 1 << (int)Math.Ceiling(Math.Log2(played.Length + recorded.Length));
        var x = new double[size];
        var (ar, ai) = Spectrum(played, x);
        var (br, bi) = Spectrum(recorded, x);
        for (var k = 0; k < ar.Length; k++) (br[k], bi[k]) = (br[k] * ar[k] + bi[k] * ai[k], bi[k] * ar[k] - br[k] * ai[k]);
        RealFft.Of(size).Inverse(br, bi, x);
        var best = 0;
        for (var n = 1; n < size; n++) if (Math.Abs(x[n]) > Math.Abs(x[best])) best = n;
        var squares = Sums.Dot(x, x);
        times = squares > 0 ? Math.Abs(x[best]) / Math.Sqrt(squares / size) : 0;
        return best > recorded.Length ? best - size : best;
    }

    /// <param name="padded">Room for the samples and zeros behind them; as long as the transform.</param>
    private static (double[] Re, double[] Im) Spectrum(ReadOnlySpan<double> samples, double[] padded)
    {
        var (re, im) = (new double[padded.Length / 2 + 1], new double[padded.Length / 2 + 1]);
        samples.CopyTo(padded);
        Array.Clear(padded, samples.Length, padded.Length - samples.Length);
        RealFft.Of(padded.Length).Forward(padded, re, im);
        return (re, im);
    }
}
