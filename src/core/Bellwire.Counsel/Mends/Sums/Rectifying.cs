namespace Bellwire.Counsel.Mends;

public enum RectifierCircuit { HalfWave, CentreTap, Bridge }

/// <summary>A transformer or line, rectifier, reservoir and load.</summary>
/// <param name="Volts">RMS of the winding; of one half of it with a centre tap. Above 0.</param>
/// <param name="SourceOhms">Winding (of one half), and any resistor in series with the rectifier. 0.001 Ω or more.</param>
/// <param name="Farads">Reservoir, above 0; <paramref name="Esr"/> its series ohms.</param>
/// <param name="LoadOhms">Above 0.</param>
/// <param name="Hertz">Line frequency.</param>
/// <param name="Silicon">Silicon with its forward drop, or ideal.</param>
public sealed record RectifierAsked(RectifierCircuit Circuit, double Volts, double SourceOhms, double Farads, double LoadOhms, double Hertz, double Esr = 0, bool Silicon = true);

/// <param name="Volts">Mean DC at the load.</param>
/// <param name="RipplePp">Peak to peak; <paramref name="RippleHertz"/> line or twice line.</param>
/// <param name="WindingRms">RMS amperes of the winding; of one half with a centre tap.</param>
/// <param name="SeriesRms">RMS amperes through everything in series with the reservoir's charging.</param>
/// <param name="Settled">Periods tried until the reservoir began and ended one alike, within 1e-9 of the peak.</param>
public sealed record RectifierFound(double Volts, double Lowest, double Highest, double RipplePp, double RippleRms, double RippleHertz, double WindingRms, double SeriesRms, double PeakAmps, double LoadAmps, int Settled)
{
    public bool Converged => Settled < Rectifying.MostPeriods;
}

/// <summary>Steady state by trapezoidal steps, the diode law solved at each: plain, and near enough a circuit simulator to replace reading curves by eye.</summary>
public static class Rectifying
{
    internal const int MostPeriods = 200;
    private const int Steps = 600;
    private static readonly double[] Sines = [.. Enumerable.Range(0, Steps + 1).Select(k => Math.Sin(2 * Math.PI * k / Steps))];

    // The 1 A rectifier of the reference circuits: IS 14.11 nA, N 1.984, 33.89 mΩ, at 27 °C.
    private const double Saturation = 14.11e-9, Slope = 1.984 * 0.025865, DiodeOhms = 0.03389;

    /// <exception cref="ArgumentOutOfRangeException">A value that is no such circuit, named with its limits.</exception>
    public static RectifierFound Solve(RectifierAsked asked)
    {
        ArgumentNullException.ThrowIfNull(asked);
        Check(asked.Volts, nameof(asked.Volts), 0.1, 2000);
        Check(asked.SourceOhms, nameof(asked.SourceOhms), 0.001, 1e10);
        Check(asked.Farads, nameof(asked.Farads), 1e-9, 10);
        Check(asked.LoadOhms, nameof(asked.LoadOhms), 0.01, 1e9);
        Check(asked.Hertz, nameof(asked.Hertz), 10, 1000);
        Check(asked.Esr, nameof(asked.Esr), 0, 1e6);

        // At the start of a period the source is zero and nothing charges: the reservoir's volts are the whole state, and the volts a
        // period later grow with them, by less than one for one. So start and end meet just once between nothing and the peak.
        var peak = asked.Volts * Math.Sqrt(2);
        double low = 0, high = peak, belowBy = Period(asked, 0).End, aboveBy = Period(asked, peak).End - peak;
        var last = 0;
        for (var n = 1; ; n++)
        {
            var at = Math.Clamp(high - aboveBy * (high - low) / (aboveBy - belowBy), low, high);
            if (n % 4 == 0 || !double.IsFinite(at)) at = (low + high) / 2;
            var (end, found) = Period(asked, at);
            var off = end - at;
            if (Math.Abs(off) <= 1e-9 * peak || n >= MostPeriods) return found with { Settled = n };
            if (off > 0)
            {
                (low, belowBy) = (at, off);
                if (last > 0) aboveBy /= 2;
            }
            else
            {
                (high, aboveBy) = (at, off);
                if (last < 0) belowBy /= 2;
            }
            last = Math.Sign(off);
        }
    }

    /// <summary>One line period from a start with <paramref name="charge"/> volts on the reservoir.</summary>
    private static (double End, RectifierFound Found) Period(RectifierAsked asked, double charge)
    {
        var diodes = asked.Silicon ? asked.Circuit == RectifierCircuit.Bridge ? 2 : 1 : 0;
        var peak = asked.Volts * Math.Sqrt(2);
        var half = 1 / asked.Hertz / Steps / (2 * asked.Farads);
        var share = 1 / (1 + asked.Esr / asked.LoadOhms); // output = (capacitor + i·ESR)·share
        // The capacitor at the end of a step is linear in the charging current: so is the output, alpha + beta·i.
        var held = 1 + half * share / asked.LoadOhms;
        var rise = half * (1 - share * asked.Esr / asked.LoadOhms) / held;
        var beta = share * (rise + asked.Esr);
        double current = 0, into = -charge * share / asked.LoadOhms;
        double sum = 0, squares = 0, sumI2 = 0, most = 0, low = double.MaxValue, high = double.MinValue;
        for (var k = 1; k <= Steps; k++)
        {
            var sine = Sines[k];
            var e = peak * (asked.Circuit == RectifierCircuit.HalfWave ? sine : Math.Abs(sine));
            var at = (charge + half * into) / held;
            current = Current(e - share * at, asked.SourceOhms + diodes * DiodeOhms + beta, diodes * Slope, current);
            charge = at + rise * current;
            var output = share * at + beta * current;
            into = current - output / asked.LoadOhms;
            sum += output;
            squares += output * output;
            sumI2 += current * current;
            most = Math.Max(most, current);
            low = Math.Min(low, output);
            high = Math.Max(high, output);
        }
        var mean = sum / Steps;
        var rms = Math.Sqrt(sumI2 / Steps);
        return (charge, new(mean, low, high, high - low, Math.Sqrt(Math.Max(0, squares / Steps - mean * mean)),
            asked.Circuit == RectifierCircuit.HalfWave ? asked.Hertz : 2 * asked.Hertz,
            asked.Circuit == RectifierCircuit.CentreTap ? rms / Math.Sqrt(2) : rms, rms, most, mean / asked.LoadOhms, 1));
    }

    /// <summary>i with spare = i·ohms + slope·ln(1 + i/Is), or 0 when nothing is to spare. Monotone in i and between 0 and spare ÷ ohms: Newton, held inside.</summary>
    private static double Current(double spare, double ohms, double slope, double from)
    {
        if (spare <= 0) return 0;
        if (slope == 0) return spare / ohms;
        var most = spare / ohms;
        if (most < 1e-12) return most;
        var i = Math.Clamp(from, 1e-12, most);
        for (var n = 0; n < 60; n++)
        {
            var off = i * ohms + slope * Math.Log(1 + i / Saturation) - spare;
            var next = Math.Clamp(i - off / (ohms + slope / (Saturation + i)), Math.Min(i * 1e-3, most), most);
            if (Math.Abs(next - i) <= 1e-10 + 1e-9 * i) return next;
            i = next;
        }
        return i;
    }

    /// <summary>The most a diode is asked to block: 2·peak with half wave and with a centre tap, the peak in a bridge.</summary>
    public static double BlockedVolts(RectifierCircuit circuit, double rms) => rms * Math.Sqrt(2) * (circuit == RectifierCircuit.Bridge ? 1 : 2);

    /// <summary>Ripple is never more than I ÷ (f·C), half of that with both half waves: the capacitor feeds the load for less than the whole time.</summary>
    public static double RippleBound(RectifierCircuit circuit, double amps, double hertz, double farads) => amps / ((circuit == RectifierCircuit.HalfWave ? 1 : 2) * hertz * farads);

    /// <summary>The series ohms that bring the loaded mean down to <paramref name="wanted"/>; 0 when it is no higher without.</summary>
    public static double DropperFor(RectifierAsked bare, double wanted)
    {
        ArgumentNullException.ThrowIfNull(bare);
        Check(wanted, nameof(wanted), 0.1, 3000);
        if (Solve(bare).Volts <= wanted) return 0;
        double low = 0, high = bare.LoadOhms;
        while (Solve(bare with { SourceOhms = bare.SourceOhms + high }).Volts > wanted) high *= 2;
        for (var n = 0; n < 22; n++)
        {
            var mid = (low + high) / 2;
            if (Solve(bare with { SourceOhms = bare.SourceOhms + mid }).Volts > wanted) low = mid; else high = mid;
        }
        return (low + high) / 2;
    }

    /// <summary>The load that draws a given current at the volts that then come out, within 1e-4; null when even a short draws less. The current falls as the load's ohms rise, so there is just one.</summary>
    /// <param name="bare">Its load does not matter.</param>
    /// <param name="amps">Mean of the load, above 0.</param>
    public static double? LoadFor(RectifierAsked bare, double amps)
    {
        ArgumentNullException.ThrowIfNull(bare);
        Check(amps, nameof(amps), 1e-9, 1e5);
        double Share(double ohms) => Solve(bare with { LoadOhms = ohms }).LoadAmps / amps - 1;
        var high = Math.Clamp(bare.Volts * Math.Sqrt(2) / amps, 0.01, 1e9); // the peak into it: never more than asked for
        var (low, lowBy, highBy) = (high, 0.0, Share(high));
        do
        {
            if (low <= 0.01) return null;
            low = Math.Max(0.01, low / 4);
            lowBy = Share(low);
        }
        while (lowBy < 0);
        for (var n = 1; n <= 60; n++)
        {
            // False position in the logarithm of the ohms, halved where it creeps.
            var (a, b) = (Math.Log(low), Math.Log(high));
            var at = Math.Exp(n % 3 == 0 ? (a + b) / 2 : a + (b - a) * lowBy / (lowBy - highBy));
            var by = Share(at);
            if (Math.Abs(by) <= 1e-4) return at;
            if (by > 0) (low, lowBy) = (at, by); else (high, highBy) = (at, by);
        }
        return Math.Sqrt(low * high);
    }

    private static void Check(double value, string name, double low, double high)
    {
        if (!(value >= low && value <= high)) throw new ArgumentOutOfRangeException(name, value, $"{low} to {high}.");
    }
}
