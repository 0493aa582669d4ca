namespace Bellwire.Counsel;

/// <summary>Copper wire by its gauge number, and how far off a short is.</summary>
public static class WireTable
{
    /// <summary>Resistivity of annealed copper at 20 °C, Ω·m, and its rise per kelvin (IEC 60028: 1/58 Ω·mm²/m, 0.00393).</summary>
    private const double Copper20 = 1.7241e-8, PerKelvin = 0.00393;

    /// <summary>Gauge numbers in bell and speech cable.</summary>
    public const int Thickest = 10, Thinnest = 30;

    /// <summary>Diameter in metres: 0.005 in · 92^((36 − n)/39) (ASTM B258).</summary>
    public static double Diameter(int gauge) => 0.005 * 0.0254 * Math.Pow(92, (36 - Known(gauge)) / 39.0);

    /// <summary>Ohms of one metre of one wire, solid copper.</summary>
    /// <param name="celsius">−40 to 80.</param>
    public static double OhmsPerMetre(int gauge, double celsius = 20)
    {
        if (!(celsius >= -40 && celsius <= 80)) throw new ArgumentOutOfRangeException(nameof(celsius), celsius, "Wire in a house is between −40 and 80 °C.");
        var d = Diameter(gauge);
        return Copper20 / (Math.PI * d * d / 4) * (1 + PerKelvin * (celsius - 20));
    }

    /// <summary>Metres from the meter to where two wires of a run touch: half the loop's ohms by the metre, the meter's leads taken off.
    /// A short that has ohms of its own looks farther off than it is: the answer is "at most".</summary>
    /// <param name="loopOhms">Read across the two wires, 0 or more.</param>
    /// <param name="leadOhms">Of the meter's leads held together.</param>
    public static double MetresToShort(double loopOhms, int gauge, double celsius = 20, double leadOhms = 0)
    {
        if (!(loopOhms >= 0) || double.IsInfinity(loopOhms)) throw new ArgumentOutOfRangeException(nameof(loopOhms), loopOhms, "A shorted loop reads 0 ohms or more, and is not open.");
        if (!(leadOhms >= 0)) throw new ArgumentOutOfRangeException(nameof(leadOhms), leadOhms, "Leads read 0 ohms or more.");
        return Math.Max(0, loopOhms - leadOhms) / (2 * OhmsPerMetre(gauge, celsius));
    }

    private static int Known(int gauge) => gauge is >= Thickest and <= Thinnest ? gauge
        : throw new ArgumentOutOfRangeException(nameof(gauge), gauge, $"Gauge numbers run from {Thickest} to {Thinnest} here.");
}
