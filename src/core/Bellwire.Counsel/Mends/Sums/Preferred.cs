using System.Collections.Immutable;

namespace Bellwire.Counsel.Mends;

/// <summary>Values parts are made in: IEC 60063 (resistors, capacitors), the R10 row of IEC 60127 (fuses), and their colours by IEC 60062 (from memory).</summary>
public static class Preferred
{
    public static readonly ImmutableArray<double> E24 = [10, 11, 12, 13, 15, 16, 18, 20, 22, 24, 27, 30, 33, 36, 39, 43, 47, 51, 56, 62, 68, 75, 82, 91];
    public static readonly ImmutableArray<double> E12 = [10, 12, 15, 18, 22, 27, 33, 39, 47, 56, 68, 82];
    public static readonly ImmutableArray<double> E6 = [10, 15, 22, 33, 47, 68];

    /// <summary>Amperes, 32 mA to 10 A.</summary>
    public static readonly ImmutableArray<double> FuseAmps =
        [.032, .04, .05, .063, .08, .1, .125, .16, .2, .25, .315, .4, .5, .63, .8, 1, 1.25, 1.6, 2, 2.5, 3.15, 4, 5, 6.3, 8, 10];

    /// <summary>The made value whose ratio to <paramref name="wanted"/> is nearest 1.</summary>
    public static double Nearest(double wanted, ImmutableArray<double> series)
    {
        if (!(wanted > 0 && double.IsFinite(wanted))) throw new ArgumentOutOfRangeException(nameof(wanted), wanted, "A value above 0.");
        var decade = Math.Floor(Math.Log10(wanted));
        return (from d in new[] { decade - 1, decade, decade + 1 }
                from e in series
                let value = Made(e, d)
                orderby Math.Abs(Math.Log(value / wanted)), value
                select value).First();
    }

    /// <summary>The next made value not below <paramref name="least"/>.</summary>
    public static double AtLeast(double least, ImmutableArray<double> series)
    {
        var near = Nearest(least, series);
        return near >= least * (1 - 1e-9) ? near : Nearest(near * Math.Pow(10, 1.0 / series.Length), series);
    }

    /// <summary>The next made value not above <paramref name="most"/>.</summary>
    public static double AtMost(double most, ImmutableArray<double> series)
    {
        var near = Nearest(most, series);
        return near <= most * (1 + 1e-9) ? near : Nearest(near / Math.Pow(10, 1.0 / series.Length), series);
    }

    /// <summary>The smallest fuse rating that carries <paramref name="amps"/> at three quarters of its rating; null above 10 A.</summary>
    public static double? FuseFor(double amps) => FuseAmps.Where(a => a * 0.75 >= amps * (1 - 1e-9)).Select(a => (double?)a).FirstOrDefault();

    private static double Made(double digits, double decade) => decade >= 1 ? digits * Math.Pow(10, decade - 1) : digits / Math.Pow(10, 1 - decade);

    private static readonly ImmutableArray<string> Colours = ["black", "brown", "red", "orange", "yellow", "green", "blue", "violet", "grey", "white"];

    /// <summary>Four bands for 5, 10 and 20 %, five for 2 % and closer.</summary>
    /// <param name="ohms">0.1 Ω to 100 MΩ.</param>
    /// <param name="tolerance">Percent: 0.1, 0.25, 0.5, 1, 2, 5, 10 or 20.</param>
    public static string Bands(double ohms, double tolerance)
    {
        if (!(ohms is >= 0.1 and <= 1e8)) throw new ArgumentOutOfRangeException(nameof(ohms), ohms, "0.1 Ω to 100 MΩ.");
        var last = tolerance switch { 0.1 => "violet", 0.25 => "blue", 0.5 => "green", 1 => "brown", 2 => "red", 5 => "gold", 10 => "silver", 20 => "none", _ => throw new ArgumentOutOfRangeException(nameof(tolerance), tolerance, "0.1, 0.25, 0.5, 1, 2, 5, 10 or 20 %.") };
        var count = tolerance >= 5 ? 2 : 3;
        var power = (int)Math.Floor(Math.Log10(ohms) + 1e-12) - count + 1;
        var digits = (int)Math.Round(ohms / Math.Pow(10, power));
        if (digits >= Math.Pow(10, count)) { digits /= 10; power++; }
        var times = power switch { -1 => "gold", -2 => "silver", >= 0 and <= 9 => Colours[power], _ => throw new ArgumentOutOfRangeException(nameof(ohms), ohms, "No colour for this power of ten.") };
        var bands = string.Join("-", digits.ToString(System.Globalization.CultureInfo.InvariantCulture).Select(d => Colours[d - '0'])) + "-" + times;
        return last == "none" ? bands : bands + "-" + last;
    }
}
