using System.Collections.Immutable;

namespace Bellwire.Signals;

/// <summary>Splits hum by line harmonics over blocks. The sound is thinned to some 3.2 kHz and cut into stretches of 32 s; in each,
/// windowed segments of 4 s overlapping by half give spectra whose middle value, bin by bin, ignores passing music; the line's
/// frequency is where the harmonics together stand highest out of the noise; the noise is the middle of the bins beside each one.</summary>
public sealed class HumMeter
{
    private const double SegmentSeconds = 4, StretchSeconds = 32, SearchHertz = 0.35;
    private const int MostOrders = 20;
    private static readonly Window Shape = Window.BlackmanHarris;

    private readonly double _line;
    private readonly Decimator _thin;
    private readonly List<double> _kept = [];
    private readonly double[] _gain;
    private readonly List<HumStretch> _stretches = [];

    /// <param name="rate">Samples a second, at least 1 000 Hz.</param>
    /// <param name="lineHertz">Nominal line frequency, 50 or 60 Hz (40..70 accepted); searched within ±0.35 Hz.</param>
    public HumMeter(int rate, double lineHertz)
    {
        if (rate is < 1000 or > 1_000_000) throw new ArgumentOutOfRangeException(nameof(rate), rate, "Hum needs 1 000 to 1 000 000 samples a second.");
        if (!(lineHertz is >= 40 and <= 70)) throw new ArgumentOutOfRangeException(nameof(lineHertz), lineHertz, "A line frequency here lies between 40 and 70 Hz: 50 or 60.");
        _line = lineHertz;
        _thin = new(rate, Math.Max(1, rate / 3200), (MostOrders + 0.5) * (lineHertz + SearchHertz));
        var orders = Math.Min(MostOrders, (int)(0.45 * _thin.Rate / lineHertz));
        _gain = [.. Enumerable.Range(0, orders + 1).Select(k => _thin.Gain(k * lineHertz))];
    }

    public void Feed(ReadOnlySpan<double> samples)
    {
        _thin.Feed(samples, _kept);
        for (var full = (int)(StretchSeconds * _thin.Rate); _kept.Count >= full;)
        {
            Measure(full);
            _kept.RemoveRange(0, full);
        }
    }

    /// <summary>The hum so far; null when less than a second was heard.</summary>
    public Hum? Finish()
    {
        if (_kept.Count >= (_stretches.Count == 0 ? 0.95 : SegmentSeconds) * _thin.Rate) Measure(_kept.Count);
        _kept.Clear();
        if (_stretches.Count == 0) return null;
        var seconds = _stretches.Sum(s => s.Seconds);
        var found = _stretches.Where(s => s.Strength > 0).ToList();
        var line = found.Count == 0 ? _line : found.Sum(s => s.LineHertz * s.Strength) / found.Sum(s => s.Strength);
        var independent = _stretches.Sum(s => s.Independent);
        // Spread of the middle of exponentially spread powers, relative to that middle: 1.44/√n.
        var spread = 1.44 / Math.Sqrt(independent);
        var lines = ImmutableArray.CreateBuilder<HumLine>();
        for (var k = 1; k < _gain.Length; k++)
        {
            var power = _stretches.Sum(s => s.Power[k - 1] * s.Seconds) / seconds;
            var noise = _stretches.Sum(s => s.Noise[k - 1] * s.Seconds) / seconds;
            // The search for the line's frequency looks at more places the higher the order: chance peaks grow with their logarithm.
            var places = 1 + 2 * SearchHertz * k * Math.Min(SegmentSeconds, seconds) / 1.5;
            var threshold = noise * (0.5 + spread * (6 + 2 * Math.Log(places)));
            var net = power - noise;
            var stands = net > threshold && net > 1e-26;
            var error = noise * spread * Math.Sqrt(1 + 2 * Math.Max(0, net) / Math.Max(noise, 1e-300));
            lines.Add(new(k, k * line, stands ? 2 * Math.Sqrt(net) / _gain[k] : 0, 2 * Math.Sqrt(threshold) / _gain[k], stands,
                stands ? 0.02 + 2 * 4.343 * error / net : double.PositiveInfinity));
        }
        // Where nothing stands out, the search has found chance: the nominal line is told.
        if (!lines.Any(l => l.Found))
        {
            line = _line;
            for (var i = 0; i < lines.Count; i++) lines[i] = lines[i] with { Hertz = lines[i].Order * line };
        }
        ImmutableArray<string> warnings = seconds < SegmentSeconds ? [FormattableString.Invariant($"only {seconds:0.#} s were heard; 4 s or more tell hum from notes beside it")] : [];
        return new(line, lines.ToImmutable(), seconds, new(
            FormattableString.Invariant($"line harmonics of {_line:0} Hz ± {SearchHertz} Hz in segments of {Math.Min(SegmentSeconds, seconds):0.#} s, middle of the powers, noise beside taken off"),
            Shape.Name, _line - SearchHertz, (_gain.Length - 0.5) * line, lines.Any(l => l.Found) ? lines.Where(l => l.Found).MaxBy(l => l.Peak)!.UncertaintyDb : 0, warnings));
    }

    private void Measure(int length) => _stretches.Add(HumStretch.Of(_kept, length, _thin.Rate, _line, _gain.Length - 1, SegmentSeconds, SearchHertz, Shape));

    public static Hum? Measure(ReadOnlySpan<double> samples, int rate, double lineHertz)
    {
        var meter = new HumMeter(rate, lineHertz);
        meter.Feed(samples);
        return meter.Finish();
    }
}
