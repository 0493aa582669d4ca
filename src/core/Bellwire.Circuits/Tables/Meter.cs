using System.Collections.Immutable;
using Bellwire.Circuits.Solving;

namespace Bellwire.Circuits;

/// <summary>
/// The quantities of a table read off many records with the same steps: what <see cref="Wave"/> does, with the weights of
/// integration and of the line component reckoned once.
/// </summary>
internal sealed class Meter
{
    private const double G = Stepper.Gamma;
    private readonly ImmutableArray<double> _mesh;
    private readonly double[] _weight, _cosine, _sine;

    /// <param name="line">Which harmonic of the period the line is; 0 for none.</param>
    public Meter(SteadyState s, int line)
    {
        _mesh = s.Mesh;
        var points = s.Record.Points;
        (_weight, _cosine, _sine) = (new double[points], new double[points], new double[points]);
        for (var k = 0; k + 2 < points; k += 2)
        {
            var share = (s.Record.Time(k + 2) - s.Record.Time(k)) / s.PeriodSeconds;
            _weight[k] += share * (0.5 - 1 / (6 * G));
            _weight[k + 1] += share / (6 * G * (1 - G));
            _weight[k + 2] += share * (2 - 3 * G) / (6 * (1 - G));
        }
        if (line < 1) return;
        for (var k = 0; k < points; k++)
        {
            var (sin, cos) = Math.SinCos(2 * Math.PI * line * s.Record.Time(k) / s.PeriodSeconds);
            (_cosine[k], _sine[k]) = (2 * _weight[k] * cos, 2 * _weight[k] * sin);
        }
    }

    /// <summary>True when the record has the steps this was made for.</summary>
    public bool Fits(SteadyState s) => s.Mesh == _mesh && s.Record.Points == _weight.Length;

    /// <summary>Mean, peak to peak, RMS of the alternation, line component, V.</summary>
    public (double Direct, double Ripple, double Alternating, double Line) Read(Recording record, int node, int against)
    {
        var (mean, square, cosine, sine, high, low) = (0.0, 0.0, 0.0, 0.0, double.NegativeInfinity, double.PositiveInfinity);
        double Value(int k) => record.Unknowns(k)[node] - record.Unknowns(k)[against];
        var origin = Value(0); // squares about a value of the wave lose nothing to a large mean
        var (first, middle) = (0.0, 0.0);
        for (var k = 0; k < _weight.Length; k++)
        {
            var v = Value(k) - origin;
            mean += _weight[k] * v;
            square += _weight[k] * v * v;
            cosine += _cosine[k] * v;
            sine += _sine[k] * v;
            high = Math.Max(high, v);
            low = Math.Min(low, v);
            if (k % 2 == 1) middle = v;
            else
            {
                if (k > 0 && ((middle >= first && middle >= v) || (middle <= first && middle <= v)))
                {
                    var c = (v - first - (middle - first) / G) / (1 - G);
                    var b = v - first - c;
                    var x = -b / (2 * c);
                    if (x > 0 && x < 1)
                    {
                        var top = first + x * (b + c * x);
                        (high, low) = (Math.Max(high, top), Math.Min(low, top));
                    }
                }
                first = v;
            }
        }
        return (mean + origin, high - low, Math.Sqrt(Math.Max(0, square - mean * mean)), Math.Sqrt(cosine * cosine + sine * sine));
    }
}
