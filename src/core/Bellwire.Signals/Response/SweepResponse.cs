using System.Collections.Immutable;

namespace Bellwire.Signals;

public static partial class ResponseMeter
{
    /// <summary>Seconds before and behind the sweep that are listened to; more would only take memory.</summary>
    private const int LongestWait = 30;

    /// <summary>From an exponential sweep (Farina 2000): the recording divided by the sweep is the impulse response, and the answer of
    /// order n stands L·ln n before it, so that harmonics do not blur the response and are told apart.</summary>
    /// <param name="recorded">One channel, from before the sweep to after its end, which lies in the first half minute beyond the sweep's own length.</param>
    /// <param name="pointsPerOctave">1..96.</param>
    public static (Response? Result, string Why) BySweep(ReadOnlySpan<double> recorded, int rate, SweepAsked asked, int pointsPerOctave = 12)
    {
        ArgumentNullException.ThrowIfNull(asked);
        if (pointsPerOctave is < 1 or > 96) throw new ArgumentOutOfRangeException(nameof(pointsPerOctave), pointsPerOctave, "1 to 96 points an octave.");
        if (asked.HighHertz < 2 * asked.LowHertz) return (null, "A sweep spans at least an octave.");
        var sweep = TestSignals.Sweep(rate, asked);
        if (recorded.Length > sweep.Frames + LongestWait * (long)rate) recorded = recorded[..(sweep.Frames + LongestWait * rate)];
        if (recorded.Length < sweep.Frames * 0.9) return (null, FormattableString.Invariant($"The recording lasts {(double)recorded.Length / rate:0.0} s; the sweep lasts {asked.Seconds:0.0} s. Record from before its start to after its end."));
        var size = 1 << (int)Math.Ceiling(Math.Log2(sweep.Frames + recorded.Length));
        var impulse = Divide(sweep[0], recorded, size, rate, asked);
        var peak = 0;
        for (var n = 1; n < size; n++) if (Math.Abs(impulse[n]) > Math.Abs(impulse[peak])) peak = n;
        var apart = asked.Constant * rate; // order n stands ln n of this earlier
        // Half-way to the second order before the peak; behind it as long as 50 Hz needs, and the set rings.
        var before = (int)(0.5 * Math.Log(2) * apart);
        var behind = (int)Math.Min(0.6 * rate, Math.Max(before, size - recorded.Length));
        var linear = Cut(impulse, peak, before, behind);
        var second = Cut(impulse, (int)Math.Round(peak - Math.Log(2) * apart), (int)(0.45 * Math.Log(1.5) * apart), (int)(0.45 * Math.Log(2) * apart));
        var third = Cut(impulse, (int)Math.Round(peak - Math.Log(3) * apart), (int)(0.45 * Math.Log(4.0 / 3) * apart), (int)(0.45 * Math.Log(1.5) * apart));
        var top = Math.Min(asked.HighHertz * 0.98, 0.49 * rate);
        var points = ImmutableArray.CreateBuilder<ResponsePoint>();
        for (var i = 0; ; i++)
        {
            var f = asked.LowHertz * 1.25 * Math.Pow(2, (double)i / pointsPerOctave);
            if (f > top) break;
            var one = At(linear, f, rate);
            points.Add(new(f, Decibels.Of(one), 2 * f <= top && one > 0 ? At(second, 2 * f, rate) / one : null, 3 * f <= top && one > 0 ? At(third, 3 * f, rate) / one : null));
        }
        // What stands far from every order is noise; as much of it lies under the window as its length says.
        var quiet = Cut(impulse, (int)Math.Round(peak + behind + 0.25 * apart), (int)(0.2 * apart), (int)(0.2 * apart));
        var noise = points.Average(p => Math.Pow(At(quiet, p.Hertz, rate), 2)) * linear.Length / quiet.Length;
        var power = points.Average(p => Math.Pow(10, p.Db / 10));
        if (!(noise < 0.2 * power)) return (null, "The sweep does not stand out of the recording. Play it louder, or record nearer.");
        var uncertainty = 8.686 * Math.Sqrt(2 * noise / power);
        var delay = peak > recorded.Length ? peak - size : peak;
        return (new(points.ToImmutable(), (double)delay / rate,
            new(FormattableString.Invariant($"exponential sweep {asked.LowHertz:0}–{asked.HighHertz:0} Hz in {asked.Seconds:0.#} s, orders told apart"), "half cosines at both ends of each order", points[0].Hertz, points[^1].Hertz, Math.Max(0.05, uncertainty))), "");
    }

    private static double[] Divide(ReadOnlySpan<double> sweep, ReadOnlySpan<double> recorded, int size, int rate, SweepAsked asked)
    {
        var impulse = new double[size];
        var (xr, xi) = Spectrum(sweep, impulse);
        var (yr, yi) = Spectrum(recorded, impulse);
        for (var k = 0; k < xr.Length; k++)
        {
            var f = (double)k * rate / size;
            var power = xr[k] * xr[k] + xi[k] * xi[k];
            // Outside the sweep there is nothing to divide by: fade out over a third of an octave.
            var octaves = f < asked.LowHertz ? Math.Log2(asked.LowHertz / Math.Max(f, 1e-9)) : f > asked.HighHertz ? Math.Log2(f / asked.HighHertz) : 0;
            var keep = octaves >= 1.0 / 3 ? 0 : 0.5 + 0.5 * Math.Cos(3 * Math.PI * octaves);
            var g = keep / (power + 1e-12 + (octaves > 0 ? 1e3 * octaves : 0));
            (yr[k], yi[k]) = (g * (yr[k] * xr[k] + yi[k] * xi[k]), g * (yi[k] * xr[k] - yr[k] * xi[k]));
        }
        RealFft.Of(size).Inverse(yr, yi, impulse);
        return impulse;
    }

    /// <summary>A stretch about a place, circular, with half-cosine edges over a quarter of each side.</summary>
    private static double[] Cut(double[] impulse, int at, int before, int behind)
    {
        var cut = new double[Math.Max(1, before + behind)];
        for (var n = 0; n < cut.Length; n++)
        {
            var away = n < before ? (before - n) / (double)before : (n - before) / (double)Math.Max(1, behind);
            var gain = away <= 0.75 ? 1 : 0.5 + 0.5 * Math.Cos(Math.PI * (away - 0.75) / 0.25);
            cut[n] = gain * impulse[((at - before + n) % impulse.Length + impulse.Length) % impulse.Length];
        }
        return cut;
    }

    private static double At(double[] impulse, double hertz, int rate)
    {
        var turn = new Turn(2 * Math.PI * hertz / rate, impulse.Length);
        double re = 0, im = 0;
        foreach (var x in impulse) { re += x * turn.Cos; im += x * turn.Sin; turn.Next(); }
        return Math.Sqrt(re * re + im * im);
    }
}
