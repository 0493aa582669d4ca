namespace Bellwire.Signals;

/// <summary>Keeps every M-th sample behind a linear-phase low-pass (Kaiser window, 80 dB: Kaiser 1974, Oppenheim and Schafer §7.6),
/// block by block. What the filter takes from the passband is told by <see cref="Gain"/> and taken back by the caller.</summary>
internal sealed class Decimator
{
    private readonly double[] _taps, _kept;
    private int _filled, _next;

    public int Factor { get; }
    public double Rate { get; }

    public Decimator(int rate, int factor, double passHertz)
    {
        (Factor, Rate) = (factor, (double)rate / factor);
        if (factor == 1) { (_taps, _kept) = ([1], new double[4096]); return; }
        var width = 2 * Math.PI * (Rate - 2 * passHertz) / rate;
        var half = (int)Math.Ceiling((80 - 7.95) / (2.285 * width) / 2);
        _taps = new double[2 * half + 1];
        var cut = 0.5 * Rate / rate;
        var sum = 0.0;
        for (var n = -half; n <= half; n++)
        {
            var r = (double)n / (half + 1);
            sum += _taps[n + half] = (n == 0 ? 2 * cut : Math.Sin(2 * Math.PI * cut * n) / (Math.PI * n)) * Bessel(7.857 * Math.Sqrt(1 - r * r)) / Bessel(7.857);
        }
        for (var i = 0; i < _taps.Length; i++) _taps[i] /= sum;
        _kept = new double[_taps.Length + 8192];
    }

    /// <summary>Amplitude ratio of the filter at a frequency.</summary>
    public double Gain(double hertz)
    {
        var half = _taps.Length / 2;
        var sum = _taps[half];
        for (var n = 1; n <= half; n++) sum += 2 * _taps[half + n] * Math.Cos(2 * Math.PI * hertz / (Rate * Factor) * n);
        return Math.Abs(sum);
    }

    public void Feed(ReadOnlySpan<double> samples, List<double> into)
    {
        while (samples.Length > 0)
        {
            var take = Math.Min(samples.Length, _kept.Length - _filled);
            samples[..take].CopyTo(_kept.AsSpan(_filled));
            samples = samples[take..];
            _filled += take;
            for (; _next + _taps.Length <= _filled; _next += Factor) into.Add(Sums.Dot(_taps, _kept.AsSpan(_next, _taps.Length)));
            var gone = Math.Min(_next, _filled);
            _kept.AsSpan(gone, _filled - gone).CopyTo(_kept);
            _filled -= gone;
            _next -= gone;
        }
    }

    private static double Bessel(double x)
    {
        double sum = 1, term = 1;
        for (var k = 1; term > 1e-16 * sum; k++) sum += term *= x * x / (4.0 * k * k);
        return sum;
    }
}
