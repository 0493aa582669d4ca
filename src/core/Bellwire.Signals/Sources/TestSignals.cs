namespace Bellwire.Signals;

/// <summary>Signals of exact level to play into a set. Levels are peaks in dBFS ≤ 0 unless said otherwise; all start and end softly
/// (raised cosine) so that no small cone is knocked.</summary>
public static class TestSignals
{
    /// <summary>A steady sine.</summary>
    /// <param name="peakDbfs">Peak level, at most 0 dBFS.</param>
    public static Sound Tone(int rate, double hertz, double seconds, double peakDbfs, double fadeSeconds = 0.01)
    {
        Check(rate, hertz, seconds, peakDbfs);
        var peak = Decibels.Ratio(peakDbfs);
        return Faded(rate, seconds, fadeSeconds, n => peak * Math.Sin(2 * Math.PI * hertz * n / rate));
    }

    /// <summary>Two sines, each at half the peak, for intermodulation and for telling channels apart.</summary>
    public static Sound TwoTones(int rate, double first, double second, double seconds, double peakDbfs)
    {
        Check(rate, first, seconds, peakDbfs);
        Check(rate, second, seconds, peakDbfs);
        var peak = Decibels.Ratio(peakDbfs) / 2;
        return Faded(rate, seconds, 0.01, n => peak * (Math.Sin(2 * Math.PI * first * n / rate) + Math.Sin(2 * Math.PI * second * n / rate)));
    }

    /// <summary>Tones one after another, each <paramref name="secondsEach"/> long.</summary>
    public static Sound Steps(int rate, IReadOnlyList<double> hertz, double secondsEach, double peakDbfs)
    {
        ArgumentNullException.ThrowIfNull(hertz);
        if (hertz.Count == 0) throw new ArgumentException("Steps need at least one frequency.", nameof(hertz));
        return new(rate, [.. hertz.SelectMany(f => Tone(rate, f, secondsEach, peakDbfs).Channels[0])]);
    }

    /// <summary>Exponential sweep (A. Farina, AES 108th Convention, 2000): sin(2π f1 L (e^(t/L) − 1)), L = T / ln(f2/f1).</summary>
    public static Sound Sweep(int rate, SweepAsked asked)
    {
        ArgumentNullException.ThrowIfNull(asked);
        Check(rate, asked.HighHertz, asked.Seconds, asked.PeakDbfs);
        var peak = Decibels.Ratio(asked.PeakDbfs);
        return Faded(rate, asked.Seconds, asked.FadeSeconds, n => peak * Math.Sin(2 * Math.PI * asked.LowHertz * asked.Constant * (Math.Exp(n / (double)rate / asked.Constant) - 1)));
    }

    /// <summary>Pink noise, 3 dB down an octave from 20 Hz to half the rate, made in the spectrum; equal seeds give equal samples but for
    /// the gain, however long: it comes again after 2^20 samples.</summary>
    /// <param name="rmsDbfs">RMS level, dBFS; refused when a peak would leave full scale.</param>
    public static Sound Pink(int rate, double seconds, double rmsDbfs, int seed)
    {
        Check(rate, 20, seconds, rmsDbfs);
        var length = (int)Math.Round(rate * seconds);
        const int size = 1 << 20;
        var random = new Random(seed);
        var (re, im, x) = (new double[size / 2 + 1], new double[size / 2 + 1], new double[size]);
        for (var k = Math.Max(1, (int)(20.0 * size / rate)); k < size / 2; k++)
        {
            var (sin, cos) = Math.SinCos(2 * Math.PI * random.NextDouble());
            (re[k], im[k]) = (cos / Math.Sqrt(k), sin / Math.Sqrt(k));
        }
        RealFft.Of(size).Inverse(re, im, x);
        var once = x;
        x = new double[length];
        for (var n = 0; n < length; n++) x[n] = once[n % size];
        var gain = Decibels.Ratio(rmsDbfs) / Math.Sqrt(x.Average(v => v * v));
        for (var n = 0; n < length; n++) x[n] *= gain;
        var peak = x.Max(Math.Abs);
        return peak <= 1 ? new(rate, x) : throw new ArgumentOutOfRangeException(nameof(rmsDbfs), rmsDbfs, FormattableString.Invariant($"Pink noise of this level would peak at {Decibels.Of(peak):0.0} dBFS; ask for {rmsDbfs - Decibels.Of(peak) - 0.05:0.0} dBFS or less."));
    }

    private static Sound Faded(int rate, double seconds, double fade, Func<int, double> at)
    {
        var x = new double[(int)Math.Round(rate * seconds)];
        var edge = Math.Min(x.Length / 2, (int)Math.Round(fade * rate));
        for (var n = 0; n < x.Length; n++) x[n] = at(n);
        for (var n = 0; n < edge; n++)
        {
            var gain = 0.5 - 0.5 * Math.Cos(Math.PI * n / edge);
            x[n] *= gain;
            x[^(n + 1)] *= gain;
        }
        return new(rate, x);
    }

    private static void Check(int rate, double hertz, double seconds, double dbfs)
    {
        Samples.Rate(rate);
        if (!(hertz > 0 && hertz < rate / 2.0)) throw new ArgumentOutOfRangeException(nameof(hertz), hertz, $"A frequency here lies between 0 and {rate / 2.0} Hz.");
        if (!(seconds > 0 && seconds * rate <= 1 << 27)) throw new ArgumentOutOfRangeException(nameof(seconds), seconds, $"A signal lasts more than 0 s and at most {(1 << 27) / rate} s.");
        if (!(dbfs <= 0 && dbfs >= -200)) throw new ArgumentOutOfRangeException(nameof(dbfs), dbfs, "A level lies between −200 and 0 dBFS.");
    }
}

/// <summary>An exponential sweep: the signal to play, and what its recording is compared with.</summary>
/// <param name="LowHertz">Where it starts, Hz.</param>
/// <param name="HighHertz">Where it ends, Hz, below half the rate.</param>
/// <param name="Seconds">How long it lasts.</param>
/// <param name="PeakDbfs">Peak level.</param>
public sealed record SweepAsked(double LowHertz = 20, double HighHertz = 20_000, double Seconds = 5, double PeakDbfs = -6, double FadeSeconds = 0.02)
{
    /// <summary>L = T / ln(f2/f1), s: order n arrives L·ln n early.</summary>
    public double Constant => LowHertz > 0 && HighHertz > LowHertz ? Seconds / Math.Log(HighHertz / LowHertz)
        : throw new ArgumentOutOfRangeException(nameof(LowHertz), LowHertz, $"A sweep starts above 0 Hz and below its end, {HighHertz} Hz.");
}
