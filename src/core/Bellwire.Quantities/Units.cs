using System.Globalization;

namespace Bellwire.Quantities;

/// <summary>The unit each quantity is told in.</summary>
public static class Units
{
    /// <summary>"V AC" for volt-ac; a quantity without a unit of its own is returned as it is.</summary>
    public static string Of(string quantity) => quantity switch
    {
        "volt-dc" => "V", "volt-ac" => "V AC", "volt-ripple-pp" => "V pp", "ohm" => "Ω", "ampere" => "A", "hertz" => "Hz", "farad" => "F", "second" => "s", _ => quantity,
    };

    /// <summary>A reading as a meter shows it, without its unit: ohms with the prefix a technician would use ("1.43 M"), OL for what is beyond the scale.</summary>
    public static string Reading(double value, string quantity) =>
        double.IsInfinity(value) ? "OL"
        : quantity == "ohm" && Math.Abs(value) >= 1000 ? Engineering.Say(value, "Ω")[..^1].TrimEnd()
        : (Math.Round(value, Math.Abs(value) < 10 ? 2 : 1) + 0.0).ToString("0.##", CultureInfo.InvariantCulture);
}
