using System.Collections.Immutable;

namespace Bellwire.Signals;

/// <summary>Distortion of one tone (IEC 60268-3).</summary>
/// <param name="Fundamental">The tone.</param>
/// <param name="Harmonics">Peak amplitudes of orders 2, 3, … as far as the band goes.</param>
/// <param name="Thd">RMS of the harmonics over the fundamental, a ratio (THD-F).</param>
/// <param name="ThdPlusNoise">RMS of all but the fundamental over RMS of all, in the band.</param>
/// <param name="NoiseRms">What is neither fundamental nor harmonic, in the band.</param>
/// <param name="ThdUncertainty">Of <paramref name="Thd"/>, absolute, about two standard deviations.</param>
public sealed record Distortion(Tone Fundamental, ImmutableArray<double> Harmonics, double Thd, double ThdPlusNoise, double NoiseRms, double ThdUncertainty, HowMeasured How)
{
    /// <summary>Harmonics over everything, the other usage (THD-R).</summary>
    public double ThdR => Thd / Math.Sqrt(1 + Thd * Thd);
    public double SinadDb => ThdPlusNoise > 0 ? -Decibels.Of(ThdPlusNoise) : double.PositiveInfinity;
    /// <summary>Fundamental over what is neither it nor a harmonic, dB.</summary>
    public double SnrDb => NoiseRms > 0 ? Decibels.Of(Fundamental.Rms / NoiseRms) : double.PositiveInfinity;
}

/// <summary>Measures distortion on a recording of one steady tone.</summary>
public static class DistortionMeter
{
    /// <summary>Distortion, or why there is none to measure.</summary>
    /// <param name="samples">One channel; beyond 2^19 samples the middle is used.</param>
    /// <param name="lowHertz">Lower edge of the band, Hz.</param>
    /// <param name="highHertz">Upper edge of the band, Hz; harmonics above it do not count. Cut at 0.49 of the rate.</param>
    public static (Distortion? Result, string Why) Measure(ReadOnlySpan<double> samples, int rate, double? near = null, double lowHertz = 20, double highHertz = 20_000)
    {
        if (!(lowHertz >= 0 && highHertz > lowHertz)) throw new ArgumentOutOfRangeException(nameof(lowHertz), lowHertz, $"A band lies between 0 Hz and {highHertz} Hz.");
        if (samples.Length > 1 << 19) samples = samples.Slice((samples.Length - (1 << 19)) / 2, 1 << 19);
        var answer = SineFit.Measure(samples, rate, near);
        if (answer is not Tone tone) return (null, ((NoTone)answer).Why);
        var window = Window.BlackmanHarris;
        var lobe = (double)window.LobeBins * rate / samples.Length;
        if (tone.Hertz < 2 * lobe) return (null, $"The recording is too short to tell {tone.Hertz:0} Hz from its harmonics; record at least {Math.Ceiling(2.0 * window.LobeBins / tone.Hertz * 10) / 10:0.#} s.");
        var high = Math.Min(highHertz, 0.49 * rate);
        var orders = (int)Math.Floor(high / tone.Hertz * (1 + 1e-6));
        if (orders < 2) return (null, $"No harmonic of {tone.Hertz:0} Hz lies below {high:0} Hz.");
        var harmonics = Enumerable.Range(2, orders - 1).AsParallel().AsOrdered().Select(Peaks(samples, rate, tone.Hertz, window)).ToImmutableArray();
        var thd = Math.Sqrt(harmonics.Sum(h => h * h)) / tone.Peak;
        var (all, rest, noise) = Split(samples, rate, tone, orders, window, lowHertz, high);
        var noiseLine = noise * Math.Sqrt(window.NoiseBins * rate / samples.Length / Math.Max(1, high - lowHertz)); // RMS of noise in one lobe
        var uncertainty = 2 * Math.Sqrt(noiseLine * noiseLine * 2 + 2 * noiseLine * noiseLine * orders * noiseLine / Math.Max(tone.Peak * thd, 1e-300)) / tone.Peak;
        return (new(tone, harmonics, thd, all > 0 ? Math.Sqrt(rest / all) : 0, noise, uncertainty,
            new($"sine fit for the fundamental, one projection for each of orders 2 to {orders}", window.Name, lowHertz, high, tone.How.UncertaintyDb)), "");
    }

    private static Func<int, double> Peaks(ReadOnlySpan<double> samples, int rate, double hertz, Window window)
    {
        var shaped = new double[samples.Length];
        Sums.Multiply(samples, window.Samples(samples.Length), shaped);
        var scale = 2 / (window.CoherentGain * samples.Length);
        return order =>
        {
            var turn = new Turn(2 * Math.PI * hertz * order / rate, shaped.Length);
            double re = 0, im = 0;
            foreach (var x in shaped) { re += x * turn.Cos; im += x * turn.Sin; turn.Next(); }
            return scale * Math.Sqrt(re * re + im * im);
        };
    }

    /// <summary>Mean squares in the band: all, all but the fundamental, and neither fundamental nor harmonics.</summary>
    private static (double All, double Others, double Noise) Split(ReadOnlySpan<double> samples, int rate, Tone tone, int orders, Window window, double low, double high)
    {
        var size = 1 << (int)Math.Ceiling(Math.Log2(samples.Length));
        var (shaped, re, im) = (new double[size], new double[size / 2 + 1], new double[size / 2 + 1]);
        Sums.Multiply(samples, window.Samples(samples.Length), shaped.AsSpan(0, samples.Length));
        RealFft.Of(size).Forward(shaped, re, im);
        var scale = 2 / (size * window.NoiseBins * window.CoherentGain * window.CoherentGain * samples.Length);
        var lobe = (window.LobeBins + 0.5) * size / samples.Length;
        double all = 0, rest = 0, noise = 0;
        int counted = 0, noisy = 0;
        for (var k = (int)Math.Ceiling(Math.Max(low, 1.5 * lobe * rate / size / 2) * size / rate); k < re.Length && (double)k * rate / size <= high; k++)
        {
            var power = scale * (re[k] * re[k] + im[k] * im[k]);
            var order = Math.Round((double)k * rate / size / tone.Hertz);
            var off = Math.Abs(k - order * tone.Hertz * size / rate);
            all += power;
            counted++;
            if (!(order == 1 && off <= lobe)) rest += power;
            if (order >= 1 && order <= orders && off <= lobe) continue;
            noise += power;
            noisy++;
        }
        // Noise under the lobes left out is taken to be as dense as beside them.
        return (all, rest, Math.Sqrt(noisy == 0 ? 0 : noise * counted / noisy));
    }
}
