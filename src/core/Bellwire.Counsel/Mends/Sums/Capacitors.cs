namespace Bellwire.Counsel.Mends;

/// <summary>Electrolytics as general-purpose 105 °C data sheets give them, and what holds for every capacitor.</summary>
public static class Capacitors
{
    // tan δ, greatest, at 120 Hz and 20 °C, by rated volts: a maker's data sheet (JIS C 5101-4 itself not seen).
    private static readonly (double Volts, double TanDelta)[] Loss =
        [(6.3, .23), (10, .20), (16, .16), (25, .14), (35, .12), (50, .10), (63, .09), (100, .08), (160, .12), (200, .14), (250, .17), (350, .20), (450, .25)];

    /// <summary>Greatest tan δ of a new part; 0.02 more for each full 1000 µF above 1000 µF (the sheets do not say how to round: this rounds down).</summary>
    /// <param name="farads">Above 0.</param>
    /// <param name="volts">Rated; between two rows the lower one counts, above 450 V the last.</param>
    public static double TanDelta(double farads, double volts)
    {
        if (!(farads > 0)) throw new ArgumentOutOfRangeException(nameof(farads), farads, "Farads above 0.");
        if (!(volts > 0)) throw new ArgumentOutOfRangeException(nameof(volts), volts, "Volts above 0.");
        var row = Loss.LastOrDefault(l => l.Volts <= volts * 1.0001, Loss[0]);
        return row.TanDelta + 0.02 * Math.Max(0, Math.Floor((farads * 1e6 - 1000) / 1000 + 1e-9));
    }

    /// <summary>ESR = tan δ ÷ (2π f C), ohms.</summary>
    public static double Esr(double tanDelta, double hertz, double farads) => tanDelta / (2 * Math.PI * hertz * farads);

    /// <summary>The 10 °C rule: hours double for each 10 °C below the rated temperature. Makers call it good between about 60 and 105 °C.</summary>
    public static double Life(double ratedHours, double ratedCelsius, double celsius) => ratedHours * Math.Pow(2, (ratedCelsius - celsius) / 10);

    /// <summary>Seconds to fall from one voltage to another through a resistor: R·C·ln(V0 ÷ V1).</summary>
    public static double Discharge(double ohms, double farads, double from, double to) => from <= to ? 0 : ohms * farads * Math.Log(from / to);

    /// <summary>RMS current through a capacitor on a sine.</summary>
    public static double Current(double volts, double hertz, double farads) => volts * 2 * Math.PI * hertz * farads;
}
