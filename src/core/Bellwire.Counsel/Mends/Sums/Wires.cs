namespace Bellwire.Counsel.Mends;

/// <summary>Round copper wire. Diameter by ASTM B258 (formula from memory); resistivity 1.7241e-8 Ω·m at 20 °C and 0.00393 per kelvin, IEC 60028 (from memory).</summary>
public static class Wires
{
    private const double Resistivity20 = 1.7241e-8, PerKelvin = 0.00393;

    /// <param name="gauge">AWG, 0 to 40.</param>
    /// <returns>Millimetres.</returns>
    public static double Diameter(double gauge) => gauge is >= 0 and <= 40 ? 0.127 * Math.Pow(92, (36 - gauge) / 39)
        : throw new ArgumentOutOfRangeException(nameof(gauge), gauge, "AWG 0 to 40.");

    /// <returns>Square millimetres.</returns>
    public static double Area(double gauge) => Math.PI / 4 * Math.Pow(Diameter(gauge), 2);

    /// <param name="area">Square millimetres, above 0.</param>
    /// <param name="celsius">−50 to 150.</param>
    /// <returns>Ohms a metre of one conductor.</returns>
    public static double OhmsPerMetre(double area, double celsius)
    {
        if (!(area > 0 && double.IsFinite(area))) throw new ArgumentOutOfRangeException(nameof(area), area, "Square millimetres above 0.");
        if (!(celsius is >= -50 and <= 150)) throw new ArgumentOutOfRangeException(nameof(celsius), celsius, "−50 to 150 °C.");
        return Resistivity20 * 1e6 / area * (1 + PerKelvin * (celsius - 20));
    }
}
