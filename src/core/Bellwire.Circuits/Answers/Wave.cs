using Bellwire.Circuits.Solving;

namespace Bellwire.Circuits;

/// <summary>
/// A quantity over time at the points the solver chose: every step gives a start, a middle (at 0.586 of it) and an end, and
/// between them the value is taken as the parabola through the three.
/// </summary>
public sealed class Wave
{
    private readonly double[] _times, _values;

    /// <param name="times">Seconds, rising; an odd number of points, start, middle, end, middle, end …</param>
    internal Wave(double[] times, double[] values) => (_times, _values) = (times, values);

    public ReadOnlySpan<double> Times => _times;
    public ReadOnlySpan<double> Values => _values;
    public double Seconds => _times[^1] - _times[0];
    public double Mean => Integral((v, _) => v) / Seconds;

    /// <summary>Root of the mean square, mean value included.</summary>
    public double Rms => Math.Sqrt(Math.Max(0, Integral((v, _) => v * v) / Seconds));

    /// <summary>Root of the mean square of the alternation alone: what a meter on AC with a capacitor before it shows.</summary>
    public double AcRms
    {
        get
        {
            var mean = Mean;
            return Math.Sqrt(Math.Max(0, Integral((v, _) => (v - mean) * (v - mean)) / Seconds));
        }
    }

    public double Max => Extreme(1);
    public double Min => -Extreme(-1);
    public double PeakToPeak => Max - Min;

    /// <summary>Peak amplitude of the n-th harmonic of the whole span (for a steady state of line period: n = 1 is the line).</summary>
    /// <param name="n">1 or more.</param>
    public double Harmonic(int n)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(n, 1);
        var w = 2 * Math.PI * n / Seconds;
        var (c, s) = (Integral((v, t) => v * Math.Cos(w * t)), Integral((v, t) => v * Math.Sin(w * t)));
        return 2 / Seconds * Math.Sqrt(c * c + s * s);
    }

    /// <summary>The value at an instant inside the span.</summary>
    /// <exception cref="ArgumentOutOfRangeException">Outside.</exception>
    public double At(double seconds)
    {
        if (!(seconds >= _times[0] && seconds <= _times[^1])) throw new ArgumentOutOfRangeException(nameof(seconds), seconds, $"The wave runs from {_times[0]} s to {_times[^1]} s.");
        var found = Array.BinarySearch(_times, seconds);
        if (found >= 0) return _values[found];
        var start = (~found - 1) / 2 * 2;
        var (b, c) = Parabola(start, out var h);
        var x = (seconds - _times[start]) / h;
        return _values[start] + x * (b + c * x);
    }

    /// <summary>Another quantity from this one and one of the same instants.</summary>
    internal Wave With(Wave other, Func<double, double, double> what)
    {
        var values = new double[_values.Length];
        for (var k = 0; k < values.Length; k++) values[k] = what(_values[k], other._values[k]);
        return new(_times, values);
    }

    private const double G = Stepper.Gamma;
    private const double W0 = 0.5 - 1 / (6 * G), W1 = 1 / (6 * G * (1 - G)), W2 = (2 - 3 * G) / (6 * (1 - G));

    internal double Integral(Func<double, double, double> of)
    {
        var sum = 0.0;
        for (var k = 0; k + 2 < _times.Length; k += 2)
            sum += (_times[k + 2] - _times[k]) * (W0 * of(_values[k], _times[k]) + W1 * of(_values[k + 1], _times[k + 1]) + W2 * of(_values[k + 2], _times[k + 2]));
        return sum;
    }

    /// <summary>Slope and curvature of v = v₀ + b·x + c·x², x from 0 to 1 over a step.</summary>
    private (double B, double C) Parabola(int k, out double h)
    {
        h = _times[k + 2] - _times[k];
        var (middle, end) = (_values[k + 1] - _values[k], _values[k + 2] - _values[k]);
        var c = (end - middle / G) / (1 - G);
        return (end - c, c);
    }

    private double Extreme(double sign)
    {
        var best = double.NegativeInfinity;
        foreach (var v in _values) best = Math.Max(best, sign * v);
        for (var k = 0; k + 2 < _times.Length; k += 2)
        {
            var (b, c) = Parabola(k, out _);
            var x = -b / (2 * c);
            if (x > 0 && x < 1) best = Math.Max(best, sign * (_values[k] + x * (b + c * x)));
        }
        return best;
    }
}
