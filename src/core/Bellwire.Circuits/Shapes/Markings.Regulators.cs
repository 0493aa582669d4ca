using System.Globalization;
using System.Text.RegularExpressions;

namespace Bellwire.Circuits.Shapes;

/// <summary>A fixed three-terminal regulator by its number.</summary>
/// <param name="Volts">Size only.</param>
/// <param name="Negative">79 kinds.</param>
/// <param name="RatedAmperes">0.1 (L), 0.5 (M) or 1 A.</param>
/// <param name="LimitAmperes">Typical current limit.</param>
/// <param name="QuiescentAmperes">Typical.</param>
/// <param name="RejectionDecibels">Typical at 120 Hz.</param>
/// <param name="MostInputVolts">Absolute maximum, size only.</param>
public sealed record MarkedRegulator(double Volts, bool Negative, double RatedAmperes, double DropoutVolts, double LimitAmperes, double QuiescentAmperes, double RejectionDecibels, double MostInputVolts)
{
    /// <summary>Short-circuit current at 35 V in, typical; null where the sheet folds nothing back.</summary>
    public double? FoldedAmperes { get; init; }

    /// <summary>As a stage.</summary>
    /// <param name="rail">Name of the rail it makes.</param>
    public SeriesRegulator For(string rail) => new(rail, Volts, DropoutVolts, LimitAmperes)
    {
        MadeNegative = Negative,
        FoldedAmperes = FoldedAmperes,
        QuiescentAmperes = QuiescentAmperes,
        RejectionDecibels = RejectionDecibels,
        MostInputVolts = MostInputVolts,
    };
}

public static partial class Markings
{
    // Volts, typical ripple rejection dB of the 1 A types at 120 Hz. Data sheet of the 78xx series: 5 and 12 V read (62 least, 73 typical; 55, 71), the others from memory.
    private static readonly Dictionary<int, double> Rejection = new() { [5] = 73, [6] = 73, [8] = 73, [9] = 71, [10] = 71, [12] = 71, [15] = 70, [18] = 69, [20] = 68, [24] = 67 };

    [GeneratedRegex("^[A-Z]{0,2}(78|79)([LM]?)(05|06|08|09|10|12|15|18|20|24)[A-Z]{0,4}$")]
    private static partial Regex RegulatorNumber { get; }

    /// <summary>78xx, 78Mxx, 78Lxx and their negative kin 79xx, with up to two letters before and four behind; null for anything else.</summary>
    /// <remarks>
    /// 1 A: dropout 2 V at 1 A, peak 2.2 A, shorted 230 mA at 35 V, 5 mA, input 35 V (40 V from 20 V up): data sheet, read. 79xx: 3 mA, 60 dB, shorted 0.3 A. L: dropout 1.7 V, 3.8 mA, 30 V up to 9 V, 35 V below
    /// 18 V, then 40 V: read; limit 0.15 A, 24 dB less rejection, and M: limit 0.8 A: from memory.
    /// </remarks>
    public static MarkedRegulator? Regulator(string marking)
    {
        var m = RegulatorNumber.Match(Plain(marking));
        if (!m.Success) return null;
        var volts = int.Parse(m.Groups[3].ValueSpan, NumberStyles.None, CultureInfo.InvariantCulture);
        var negative = m.Groups[1].Value == "79";
        var most = volts >= 20 ? 40.0 : 35.0;
        var rejection = negative ? 60 : Rejection[volts];
        return m.Groups[2].Value switch
        {
            "L" => new(volts, negative, 0.1, 1.7, 0.15, 3.8e-3, rejection - 24, volts < 10 ? 30 : volts < 18 ? 35 : 40),
            "M" => new(volts, negative, 0.5, 2, 0.8, negative ? 3e-3 : 4.5e-3, rejection, most),
            _ => new(volts, negative, 1, 2, 2.2, negative ? 3e-3 : 5e-3, rejection, most) { FoldedAmperes = negative ? 0.3 : 0.23 },
        };
    }
}
