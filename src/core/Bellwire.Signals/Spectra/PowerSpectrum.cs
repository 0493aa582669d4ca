using System.Collections.Immutable;

namespace Bellwire.Signals;

/// <summary>An averaged one-sided spectrum of one channel.</summary>
/// <param name="Rate">Samples a second, Hz.</param>
/// <param name="Size">Length of one transform in samples.</param>
/// <param name="MeanSquare">Bins 0..Size/2: mean square in each bin, so that they add up to that of the sound.</param>
/// <param name="Averages">Overlapping segments averaged.</param>
public sealed record PowerSpectrum(int Rate, int Size, ImmutableArray<double> MeanSquare, int Averages, Window Window)
{
    public double BinHertz => (double)Rate / Size;

    /// <summary>Peak amplitude of a sine at the middle of a bin.</summary>
    public double Peak(int bin) => Math.Sqrt(2 * MeanSquare[bin] * Window.NoiseBins);

    /// <summary>Weighted mean square between two frequencies (Hz); a bin at an edge counts by its share.</summary>
    public double Band(double lowHertz, double highHertz, Weighting weighting = Weighting.None)
    {
        if (!(lowHertz >= 0 && highHertz > lowHertz)) throw new ArgumentOutOfRangeException(nameof(lowHertz), lowHertz, $"A band lies between 0 Hz and {highHertz} Hz.");
        var sum = 0.0;
        for (var k = Math.Max(0, (int)(lowHertz / BinHertz - 0.5)); k < MeanSquare.Length && (k - 0.5) * BinHertz < highHertz; k++)
        {
            var share = Math.Min(highHertz, (k + 0.5) * BinHertz) - Math.Max(lowHertz, (k - 0.5) * BinHertz);
            if (share <= 0) continue;
            var gain = weighting == Weighting.None ? 1 : weighting.Gain(k * BinHertz);
            sum += MeanSquare[k] * Math.Min(1, share / BinHertz) * gain * gain;
        }
        return sum;
    }
}

/// <summary>Averages spectra over blocks: segments overlapping by half, windowed (Welch, IEEE Trans. Audio AU-15, 1967).</summary>
public sealed class SpectrumMeter
{
    private readonly int _rate;
    private readonly Window _window;
    private readonly RealFft _fft;
    private readonly double[] _kept, _shaped, _re, _im, _power;
    private int _filled;
    private int _averages;

    /// <param name="rate">Samples a second, Hz.</param>
    /// <param name="size">A power of two, 16..2^22.</param>
    public SpectrumMeter(int rate, int size, Window window)
    {
        Samples.Rate(rate);
        ArgumentNullException.ThrowIfNull(window);
        if (size is < 16 or > 1 << 22) throw new ArgumentOutOfRangeException(nameof(size), size, "A spectrum takes 16 to 2^22 samples, a power of two.");
        (_rate, _window, _fft) = (rate, window, RealFft.Of(size));
        (_kept, _shaped) = (new double[size], new double[size]);
        (_re, _im, _power) = (new double[size / 2 + 1], new double[size / 2 + 1], new double[size / 2 + 1]);
    }

    public void Feed(ReadOnlySpan<double> samples)
    {
        while (samples.Length > 0)
        {
            var take = Math.Min(samples.Length, _kept.Length - _filled);
            samples[..take].CopyTo(_kept.AsSpan(_filled));
            samples = samples[take..];
            _filled += take;
            if (_filled < _kept.Length) return;
            Average();
            _kept.AsSpan(_kept.Length / 2).CopyTo(_kept);
            _filled = _kept.Length / 2;
        }
    }

    private void Average()
    {
        Sums.Multiply(_kept, _window.Samples(_kept.Length), _shaped);
        _fft.Forward(_shaped, _re, _im);
        for (var k = 0; k < _power.Length; k++) _power[k] += _re[k] * _re[k] + _im[k] * _im[k];
        _averages++;
    }

    /// <summary>The average so far. A sound shorter than one segment gives a spectrum of the largest power of two it fills;
    /// null when not even 16 samples came.</summary>
    public PowerSpectrum? Finish()
    {
        if (_averages == 0)
        {
            if (_filled < 16) return null;
            var small = new SpectrumMeter(_rate, 1 << (int)Math.Log2(_filled), _window);
            small.Feed(_kept.AsSpan(0, _filled));
            return small.Finish();
        }
        var n = _kept.Length;
        var squares = _window.NoiseBins * _window.CoherentGain * _window.CoherentGain * n; // Σw²
        var made = new double[_power.Length];
        for (var k = 0; k < made.Length; k++)
            made[k] = (k == 0 || k == n / 2 ? 1 : 2) * _power[k] / ((double)n * squares * _averages);
        return new(_rate, n, ImmutableArray.Create(made), _averages, _window);
    }

    public static PowerSpectrum? Measure(ReadOnlySpan<double> samples, int rate, int size, Window window)
    {
        var meter = new SpectrumMeter(rate, size, window);
        meter.Feed(samples);
        return meter.Finish();
    }
}
