namespace Bellwire.Circuits.Shapes;

public static partial class Markings
{
    // 1N4728 to 1N4764, 1 W: nominal volts, test current mA, greatest dynamic ohms at it. Data sheet of the series, as several makers print it.
    private static readonly (double Volts, double Milliamperes, double Ohms)[] OneWatt =
    [
        (3.3, 76, 10), (3.6, 69, 10), (3.9, 64, 9), (4.3, 58, 9), (4.7, 53, 8), (5.1, 49, 7), (5.6, 45, 5), (6.2, 41, 2), (6.8, 37, 3.5), (7.5, 34, 4), (8.2, 31, 4.5), (9.1, 28, 5),
        (10, 25, 7), (11, 23, 8), (12, 21, 9), (13, 19, 10), (15, 17, 14), (16, 15.5, 16), (18, 14, 20), (20, 12.5, 22), (22, 11.5, 23), (24, 10.5, 25), (27, 9.5, 35), (30, 8.5, 40),
        (33, 7.5, 45), (36, 7, 50), (39, 6.5, 60), (43, 6, 70), (47, 5.5, 80), (51, 5, 95), (56, 4.5, 110), (62, 4, 125), (68, 3.7, 150), (75, 3.3, 175), (82, 3, 200), (91, 2.8, 250), (100, 2.5, 350),
    ];

    // 1N5221 to 1N5267, 0.5 W: the same of that series.
    private static readonly (double Volts, double Milliamperes, double Ohms)[] HalfWatt =
    [
        (2.4, 20, 30), (2.5, 20, 30), (2.7, 20, 30), (2.8, 20, 30), (3.0, 20, 29), (3.3, 20, 28), (3.6, 20, 24), (3.9, 20, 23), (4.3, 20, 22), (4.7, 20, 19), (5.1, 20, 17), (5.6, 20, 11),
        (6.0, 20, 7), (6.2, 20, 7), (6.8, 20, 5), (7.5, 20, 6), (8.2, 20, 8), (8.7, 20, 8), (9.1, 20, 10), (10, 20, 17), (11, 20, 22), (12, 20, 30), (13, 9.5, 13), (14, 9, 15), (15, 8.5, 16),
        (16, 7.8, 17), (17, 7.4, 19), (18, 7, 21), (19, 6.6, 23), (20, 6.2, 25), (22, 5.6, 29), (24, 5.2, 33), (25, 5, 35), (27, 4.6, 41), (28, 4.5, 44), (30, 4.2, 49), (33, 3.8, 58),
        (36, 3.4, 70), (39, 3.2, 80), (43, 3, 93), (47, 2.7, 105), (51, 2.5, 125), (56, 2.2, 150), (60, 2.1, 170), (62, 2, 185), (68, 1.8, 230), (75, 1.7, 270),
    ];

    /// <summary>1N4728…1N4764 (1 W) and 1N5221…1N5267 (0.5 W); suffix A or B is 5 %, C 2 %, D 1 %, none 10 % (1 W) or 20 % (0.5 W).</summary>
    public static ZenerAsRead? Zener(string marking)
    {
        var m = Plain(marking);
        if (m.Length is < 6 or > 7 || !m.StartsWith("1N", StringComparison.Ordinal) || !int.TryParse(m.AsSpan(2, 4), System.Globalization.NumberStyles.None, null, out var number)) return null;
        double? tolerance = m.Length == 6 ? (number < 5000 ? 0.1 : 0.2) : m[6] switch { 'A' => number < 5000 ? 0.05 : 0.1, 'B' => 0.05, 'C' => 0.02, 'D' => 0.01, _ => null };
        var (table, first, watts) = number < 5000 ? (OneWatt, 4728, 1.0) : (HalfWatt, 5221, 0.5);
        if (tolerance is not { } t || number < first || number >= first + table.Length) return null;
        var (volts, milliamperes, ohms) = table[number - first];
        return new(volts, watts) { TestAmperes = milliamperes * 1e-3, DynamicOhms = ohms, Tolerance = t };
    }

    /// <summary>
    /// Dynamic ohms at a quarter of the rated power when no marking says: those of the 1 W series at that voltage, in inverse proportion to the
    /// rating. (0.5 W types are 2 to 3 times worse than 1 W types, 5 W types 3 to 4 times better.)
    /// </summary>
    public static double UsualZenerOhms(double volts, double watts)
    {
        Ranged.Positive(volts, nameof(volts));
        Ranged.Positive(watts, nameof(watts));
        var above = Array.FindIndex(OneWatt, z => z.Volts >= volts);
        double ohms;
        if (above < 0) ohms = OneWatt[^1].Ohms * Math.Pow(volts / OneWatt[^1].Volts, 2);
        else if (above == 0) ohms = OneWatt[0].Ohms;
        else
        {
            var (low, high) = (OneWatt[above - 1], OneWatt[above]);
            ohms = low.Ohms + (high.Ohms - low.Ohms) * (volts - low.Volts) / (high.Volts - low.Volts);
        }
        return ohms / watts;
    }
}
