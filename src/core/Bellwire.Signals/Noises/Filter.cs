namespace Bellwire.Signals;

/// <summary>A weighting applied to samples: linear-phase taps sampled from its gain, by overlapping transforms; no delay.</summary>
internal static class Filter
{
    private const int Size = 1 << 14, Taps = 1 << 11;

    public static double[] Weigh(ReadOnlySpan<double> samples, int rate, Weighting weighting)
    {
        // The gain's own impulse, centred, shortened softly.
        var (re, im, x) = (new double[Taps / 2 + 1], new double[Taps / 2 + 1], new double[Taps]);
        for (var k = 0; k < re.Length; k++) re[k] = weighting.Gain((double)k * rate / Taps);
        RealFft.Of(Taps).Inverse(re, im, x);
        var kernel = new double[Size];
        var soft = Window.Hann.Samples(Taps);
        for (var n = 0; n < Taps; n++) kernel[n] = x[(n + Taps / 2) % Taps] * soft[n];
        var fft = RealFft.Of(Size);
        var (hr, hi) = (new double[fft.Bins], new double[fft.Bins]);
        fft.Forward(kernel, hr, hi);
        var made = new double[samples.Length];
        var (block, br, bi, step) = (new double[Size], new double[fft.Bins], new double[fft.Bins], Size - Taps + 1);
        for (var at = 0; at < samples.Length; at += step)
        {
            // Output n of the linear convolution sits Taps/2 late: take what belongs to at..at+step.
            Array.Clear(block);
            var from = at + Taps / 2 - (Taps - 1);
            for (var n = 0; n < Size; n++) if (from + n >= 0 && from + n < samples.Length) block[n] = samples[from + n];
            fft.Forward(block, br, bi);
            for (var k = 0; k < br.Length; k++) (br[k], bi[k]) = (br[k] * hr[k] - bi[k] * hi[k], br[k] * hi[k] + bi[k] * hr[k]);
            fft.Inverse(br, bi, block);
            for (var n = 0; n < step && at + n < made.Length; n++) made[at + n] = block[n + Taps - 1];
        }
        return made;
    }
}
