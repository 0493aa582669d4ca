namespace Bellwire.Circuits;

/// <summary>The exponential of a junction at 27 °C, and the cures for its steepness.</summary>
internal static class Junction
{
    /// <summary>kT/q at 300.15 K, V (CODATA 2018 k and q), the temperature of the bench.</summary>
    public const double ThermalVolts = 0.0258649;

    /// <summary>
    /// Current and slope of a Shockley diode behind a series resistance, seen from outside:
    /// v = nVt·ln(1 + i/Is) + i·Rs, solved by the Wright omega function (Banwell &amp; Jayakumar 2000).
    /// </summary>
    public static double Current(double v, double saturation, double slopeVolts, double seriesOhms, out double conductance)
    {
        if (seriesOhms <= 0) return Bare(v, saturation, slopeVolts, out conductance);
        var scale = slopeVolts / seriesOhms;
        var z = Math.Log(saturation / scale) + (v + saturation * seriesOhms) / slopeVolts;
        var w = Omega(z);
        conductance = w / ((1 + w) * seriesOhms);
        if (z < -20) conductance = saturation / slopeVolts * Math.Exp(v / slopeVolts);
        return z < -20 ? saturation * (Math.Exp(v / slopeVolts) - 1) : scale * w - saturation;
    }

    /// <summary>is·(exp(v/nVt) − 1), continued along its tangent beyond the range of the exponential.</summary>
    public static double Bare(double v, double saturation, double slopeVolts, out double conductance)
    {
        var y = v / slopeVolts;
        if (y > 80)
        {
            var top = saturation * Math.Exp(80);
            conductance = top / slopeVolts;
            return top * (1 + y - 80) - saturation;
        }
        var e = saturation * Math.Exp(y);
        conductance = e / slopeVolts;
        return e - saturation;
    }

    /// <summary>The real solution w of w + ln w = z.</summary>
    public static double Omega(double z)
    {
        if (z < -40) return Math.Exp(z);
        var w = z < -2 ? Math.Exp(z) * (1 - Math.Exp(z)) : z < 1.5 ? Math.Exp(0.6 * (z - 1)) : z - Math.Log(z);
        for (var pass = 0; pass < 6; pass++) // Fritsch, Shafer & Crowley 1973, algorithm 443
        {
            var r = z - w - Math.Log(w);
            var w1 = 1 + w;
            var t = w1 * (w1 + 2.0 / 3 * r);
            var e = r / w1 * (t - r / 2) / (t - r);
            w *= 1 + e;
            if (Math.Abs(e) < 1e-4) break; // fourth order: the next error is far below rounding
        }
        return w;
    }

    /// <summary>The step limiter of SPICE2 for a junction voltage (Nagel 1975, appendix on pnjlim).</summary>
    public static double Limited(double now, double before, double slopeVolts, double critical, ref bool limited)
    {
        if (now <= critical || Math.Abs(now - before) <= 2 * slopeVolts) return now;
        limited = true;
        if (before <= 0) return slopeVolts * Math.Log(Math.Max(now / slopeVolts, 1.0001));
        var step = 1 + (now - before) / slopeVolts;
        return step > 0 ? before + slopeVolts * Math.Log(step) : critical;
    }

    /// <summary>The voltage where the exponential turns steep: nVt·ln(nVt/(√2·Is)).</summary>
    public static double Critical(double saturation, double slopeVolts) => slopeVolts * Math.Log(slopeVolts / (Math.Sqrt(2) * saturation));
}
