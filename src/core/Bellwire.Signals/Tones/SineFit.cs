namespace Bellwire.Signals;

/// <summary>Four-parameter least-squares sine fit (IEEE Std 1057, four-parameter algorithm), each sample weighted by a Hann window
/// so that harmonics and hum off the exact bin do not pull the fit.</summary>
public static class SineFit
{
    private const int Most = 1 << 20;

    /// <summary>Fits the strongest tone between 10 Hz and half the rate, or the one within 5 % of <paramref name="near"/>.</summary>
    /// <param name="samples">One channel; beyond 2^20 samples the middle is used.</param>
    public static ToneAnswer Measure(ReadOnlySpan<double> samples, int rate, double? near = null)
    {
        Samples.Rate(rate);
        if (near is { } asked && !(asked > 0 && asked < rate / 2.0)) throw new ArgumentOutOfRangeException(nameof(near), near, $"A tone here lies between 0 and {rate / 2.0} Hz.");
        if (samples.Length < 64) return new NoTone("The recording is too short to find a tone in; record at least a second.");
        if (samples.Length > Most) samples = samples.Slice((samples.Length - Most) / 2, Most);
        static NoTone Short(double hertz) => new(FormattableString.Invariant($"The recording is too short for a tone near {hertz:0.#} Hz; record at least {Math.Ceiling(10 / hertz * 10) / 10:0.#} s."));
        if (near is { } wanted && wanted * samples.Length / rate < 4) return Short(wanted);
        if (Guess(samples, rate, near) is not { } hertz) return new NoTone("No tone stands out of the rest.");
        if (hertz * samples.Length / rate < 4) return Short(hertz);
        var weights = Window.Hann.Samples(samples.Length);
        var omega = 2 * Math.PI * hertz / rate;
        var fit = new double[4];
        for (var n = 0; n < 12; n++)
        {
            fit = Step(samples, weights, omega, fit[0], fit[1], n > 0);
            omega += fit[3];
            if (!(omega > 0 && omega < Math.PI)) return new NoTone("No steady tone could be fitted.");
            if (Math.Abs(fit[3]) < 1e-13 && n > 1) break;
        }
        fit = Step(samples, weights, omega, fit[0], fit[1], false);
        return Result(samples, rate, omega, fit);
    }

    /// <summary>Three-parameter fit at a frequency that is known: amplitude and phase only.</summary>
    public static Tone At(ReadOnlySpan<double> samples, int rate, double hertz)
    {
        Samples.Rate(rate);
        if (!(hertz > 0 && hertz < rate / 2.0)) throw new ArgumentOutOfRangeException(nameof(hertz), hertz, $"A tone here lies between 0 and {rate / 2.0} Hz.");
        if (samples.Length < 16) throw new ArgumentException($"{samples.Length} samples are too few for a fit.", nameof(samples));
        var omega = 2 * Math.PI * hertz / rate;
        var tone = Result(samples, rate, omega, Step(samples, Window.Hann.Samples(samples.Length), omega, 0, 0, false));
        return tone with { HertzUncertainty = 0, How = tone.How with { Method = "sine fit at a known frequency (IEEE 1057, three parameters)" } };
    }

    private static Tone Result(ReadOnlySpan<double> samples, int rate, double omega, double[] fit)
    {
        var (a, b, c) = (fit[0], fit[1], fit[2]);
        var peak = Math.Sqrt(a * a + b * b);
        var turn = new Turn(omega, samples.Length);
        var rest = 0.0;
        foreach (var x in samples)
        {
            var r = x - a * turn.Cos - b * turn.Sin - c;
            rest += r * r;
            turn.Next();
        }
        var residual = Math.Sqrt(rest / samples.Length);
        var n = (double)samples.Length;
        // The Hann weights cost about 1.5 in variance for the level and 3 for the frequency against equal weights.
        var level = peak > 0 ? 8.686 * 2 * Math.Sqrt(1.5 * 2 / n) * residual / peak : double.PositiveInfinity;
        var hertz = peak > 0 ? rate / (2 * Math.PI) * 2 * Math.Sqrt(3 * 24 / (n * n * n)) * residual / peak : double.PositiveInfinity;
        // a cos + b sin about the middle of the record; phase is told from the first sample.
        var phase = Math.IEEERemainder(Math.Atan2(a, b) - omega * (samples.Length / 2), 2 * Math.PI);
        return new(omega * rate / (2 * Math.PI), peak, phase, c, residual, hertz,
            new("sine fit (IEEE 1057, four parameters)", "Hann", 0, rate / 2.0, Math.Max(0.005, level)));
    }

    /// <summary>One weighted least-squares step about the present frequency: cosine, sine, constant and, from the second on, the frequency's change.</summary>
    private static double[] Step(ReadOnlySpan<double> samples, double[] weights, double omega, double a, double b, bool free)
    {
        var size = free ? 4 : 3;
        var normal = new double[4, 5];
        var turn = new Turn(omega, samples.Length);
        var middle = samples.Length / 2;
        Span<double> row = stackalloc double[5];
        for (var n = 0; n < samples.Length; n++)
        {
            var w = weights[n];
            row[0] = turn.Cos;
            row[1] = turn.Sin;
            row[2] = 1;
            row[3] = (n - middle) * (b * turn.Cos - a * turn.Sin);
            row[4] = samples[n];
            for (var i = 0; i < size; i++)
            {
                var wi = w * row[i];
                for (var j = i; j < size; j++) normal[i, j] += wi * row[j];
                normal[i, 4] += wi * row[4];
            }
            turn.Next();
        }
        return Solve(normal, size);
    }

    private static double[] Solve(double[,] m, int size)
    {
        for (var i = 0; i < size; i++) for (var j = 0; j < i; j++) m[i, j] = m[j, i];
        for (var p = 0; p < size; p++)
        {
            if (!(Math.Abs(m[p, p]) > 1e-300)) continue;
            for (var i = p + 1; i < size; i++)
            {
                var f = m[i, p] / m[p, p];
                for (var j = p; j < size; j++) m[i, j] -= f * m[p, j];
                m[i, 4] -= f * m[p, 4];
            }
        }
        var x = new double[4];
        for (var i = size - 1; i >= 0; i--)
        {
            var sum = m[i, 4];
            for (var j = i + 1; j < size; j++) sum -= m[i, j] * x[j];
            x[i] = Math.Abs(m[i, i]) > 1e-300 ? sum / m[i, i] : 0;
        }
        return x;
    }

    /// <summary>The highest peak of a windowed spectrum, refined by a parabola through decibels; null when nothing stands 10 dB out of the middle of all bins.</summary>
    private static double? Guess(ReadOnlySpan<double> samples, int rate, double? near)
    {
        var size = 1 << (int)Math.Ceiling(Math.Log2(samples.Length));
        var (shaped, re, im) = (new double[size], new double[size / 2 + 1], new double[size / 2 + 1]);
        Sums.Multiply(samples, Window.Hann.Samples(samples.Length), shaped.AsSpan(0, samples.Length));
        RealFft.Of(size).Forward(shaped, re, im);
        for (var k = 0; k < re.Length; k++) re[k] = re[k] * re[k] + im[k] * im[k];
        var lobe = 2.0 * rate / samples.Length;
        var low = (int)Math.Ceiling(Math.Max(near * 0.95 ?? 10, lobe) * size / rate);
        var high = Math.Min(re.Length - 2, (int)Math.Floor((near * 1.05 ?? rate / 2.0) * size / rate));
        var best = low;
        for (var k = low; k <= high; k++) if (re[k] > re[best]) best = k;
        var typical = Sums.Median((double[])re.Clone());
        if (low > high || best < 1 || !(re[best] > 10 * typical) || re[best] <= 0) return null;
        var (l, m, r) = (Math.Log(re[best - 1] + 1e-300), Math.Log(re[best] + 1e-300), Math.Log(re[best + 1] + 1e-300));
        var shift = l - 2 * m + r < 0 ? Math.Clamp(0.5 * (l - r) / (l - 2 * m + r), -0.5, 0.5) : 0;
        return (best + shift) * rate / size;
    }
}

/// <summary>cos and sin of ω(n − N/2) for n = 0, 1, …, by rotation, set right every 512 steps.</summary>
internal ref struct Turn
{
    private readonly double _omega, _stepCos, _stepSin;
    private readonly int _middle;
    private int _n;
    public double Cos, Sin;

    public Turn(double omega, int length)
    {
        (_omega, _middle) = (omega, length / 2);
        (_stepSin, _stepCos) = Math.SinCos(omega);
        (Sin, Cos) = Math.SinCos(-omega * _middle);
    }

    public void Next()
    {
        _n++;
        if ((_n & 511) == 0) { (Sin, Cos) = Math.SinCos(_omega * (_n - _middle)); return; }
        (Cos, Sin) = (Cos * _stepCos - Sin * _stepSin, Sin * _stepCos + Cos * _stepSin);
    }
}
