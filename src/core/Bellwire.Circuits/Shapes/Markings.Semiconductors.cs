using System.Globalization;

namespace Bellwire.Circuits.Shapes;

public static partial class Markings
{
    private static readonly double[] FourThousand = [50, 100, 200, 400, 600, 800, 1000];          // 1N4001…4007, 1 A
    private static readonly double[] OneAndAHalf = [50, 100, 200, 300, 400, 500, 600, 800, 1000];  // 1N5391…5399, 1.5 A
    private static readonly double[] Three = [50, 100, 200, 300, 400, 500, 600, 800, 1000];        // 1N5400…5408, 3 A

    /// <summary>1N4001…1N4007 (1 A), 1N5391…1N5399 (1.5 A), 1N5400…1N5408 (3 A) and 1N4148/1N914; null for anything else. Data sheets; the junction's values are fitted from memory to their forward volts.</summary>
    public static Silicon? Diode(string marking)
    {
        var m = Plain(marking);
        if (m is "1N4148" or "1N914" or "1N914A" or "1N914B") return new(0.2, 75) { SaturationAmperes = 2.52e-9, Emission = 1.752, SeriesOhms = 0.568 };
        if (m.Length is < 6 or > 7 || !m.StartsWith("1N", StringComparison.Ordinal) || !int.TryParse(m.AsSpan(2, 4), NumberStyles.None, CultureInfo.InvariantCulture, out var number)) return null;
        return number switch
        {
            >= 4001 and <= 4007 => new(1, FourThousand[number - 4001]),
            >= 5391 and <= 5399 => new(1.5, OneAndAHalf[number - 5391]) { SeriesOhms = 0.025 },
            >= 5400 and <= 5408 => new(3, Three[number - 5400]) { SaturationAmperes = 63e-9, Emission = 1.7, SeriesOhms = 14.1e-3 },
            _ => null,
        };
    }

    // npn number, pnp number, gain at working current, Is A, Vceo V, Ic A, W at 25 °C (free air for small ones, case for power). TIP31/32 and 2N3055 by data sheet, the others from memory; Is from the typical base volts.
    private static readonly (string[] Npn, string[] Pnp, double Beta, double Is, double Volts, double Amperes, double Watts)[] Families =
    [
        (["2N3904"], ["2N3906"], 200, 1e-14, 40, 0.2, 0.625),
        (["2N4401"], ["2N4403"], 200, 3e-14, 40, 0.6, 0.625),
        (["2N2222", "2N2222A"], ["2N2907", "2N2907A"], 200, 3e-14, 40, 0.6, 0.5),
        (["2N3053"], ["2N4037"], 120, 1e-13, 40, 0.7, 5),
        (["BD135"], ["BD136"], 100, 1e-13, 45, 1.5, 12.5),
        (["BD137"], ["BD138"], 100, 1e-13, 60, 1.5, 12.5),
        (["BD139"], ["BD140"], 100, 1e-13, 80, 1.5, 12.5),
        (["TIP29"], ["TIP30"], 60, 5e-13, 40, 1, 30),
        (["TIP29A"], ["TIP30A"], 60, 5e-13, 60, 1, 30),
        (["TIP29B"], ["TIP30B"], 60, 5e-13, 80, 1, 30),
        (["TIP29C"], ["TIP30C"], 60, 5e-13, 100, 1, 30),
        (["TIP31"], ["TIP32"], 60, 1e-12, 40, 3, 40),
        (["TIP31A"], ["TIP32A"], 60, 1e-12, 60, 3, 40),
        (["TIP31B"], ["TIP32B"], 60, 1e-12, 80, 3, 40),
        (["TIP31C"], ["TIP32C"], 60, 1e-12, 100, 3, 40),
        (["TIP41"], ["TIP42"], 60, 2e-12, 40, 6, 65),
        (["TIP41A"], ["TIP42A"], 60, 2e-12, 60, 6, 65),
        (["TIP41B"], ["TIP42B"], 60, 2e-12, 80, 6, 65),
        (["TIP41C"], ["TIP42C"], 60, 2e-12, 100, 6, 65),
        (["2N3055"], ["MJ2955", "2N2955"], 50, 1e-11, 60, 15, 115),
    ];

    /// <summary>Common transistors of supplies and output stages; null for anything else. <c>Npn</c> says which way round.</summary>
    public static (TransistorAsRead Part, bool Npn)? Transistor(string marking)
    {
        var m = Plain(marking);
        foreach (var f in Families)
            if (f.Npn.Contains(m) || f.Pnp.Contains(m))
                return (new() { Beta = f.Beta, SaturationAmperes = f.Is, CollectorVolts = f.Volts, CollectorAmperes = f.Amperes, Watts = f.Watts }, f.Npn.Contains(m));
        return null;
    }
}
