using System.Globalization;
using System.Text.RegularExpressions;

namespace Bellwire.Quantities;

/// <summary>A reading as typed at the bench – "4.1 V", "24 V AC", "38 mVpp", "4k7", "6,8 kΩ", "310 µF", "120 Hz" – in base SI units.</summary>
/// <param name="Value">Volts, ohms, amperes, hertz, farads or seconds.</param>
/// <param name="Quantity">volt-dc, volt-ac, volt-ripple-pp, ohm, ampere, hertz, farad, second; null when no unit was typed.</param>
public sealed partial record TypedReading(double Value, string? Quantity)
{
    /// <summary>Reads the text, or says in <paramref name="why"/> what is wrong and what to type instead.</summary>
    /// <param name="usual">Quantity meant when no unit is typed ("volt-dc" at a rail); null leaves it open.</param>
    public static TypedReading? Parse(string text, string? usual, out string why)
    {
        why = "";
        var match = Shape().Match(text.Trim().Replace('−', '-').Replace('–', '-'));
        if (!match.Success)
        {
            why = $"“{text.Trim()}” is not a reading. Type a number and its unit, such as 4.1 V, 38 mVpp or 6k8.";
            return null;
        }
        var infix = match.Groups["infix"];
        var digits = match.Groups["whole"].Value.Replace(',', '.') + (infix.Success ? "." + match.Groups["rest"].Value : "");
        var prefix = infix.Success ? infix.Value : match.Groups["prefix"].Value;
        var value = double.Parse(digits, NumberStyles.Float, CultureInfo.InvariantCulture) * Scale(prefix);
        var quantity = QuantityOf(match.Groups["unit"].Value, match.Groups["kind"].Value);
        if (quantity is null && infix.Success && infix.Value is "R" or "k" or "K" or "M") quantity = "ohm";
        if (match.Groups["sign"].Value == "-") value = -value;
        if ((quantity ?? usual) is "ohm" or "hertz" or "second" or "farad" or "volt-ripple-pp" or "volt-ac" && value < 0)
        {
            why = $"{text.Trim()} is below nothing; only DC volts and amperes have a sign.";
            return null;
        }
        return new(value, quantity ?? usual);
    }

    /// <summary>True when both are volts (whichever), both ohms …: what is read in hertz stands for nothing that is read in volts.</summary>
    public static bool AreAlike(string one, string other)
    {
        ArgumentNullException.ThrowIfNull(one);
        ArgumentNullException.ThrowIfNull(other);
        return one.Split('-')[0] == other.Split('-')[0];
    }

    /// <summary>True when a reading in <paramref name="read"/> says something of what is read in <paramref name="wanted"/>: like units,
    /// and of DC only DC, for a meter on AC shows next to nothing of the DC that is there (common practice, no source).</summary>
    public static bool Tells(string wanted, string read) => AreAlike(wanted, read) && (wanted != "volt-dc" || read == "volt-dc");

    private static string? QuantityOf(string unit, string kind) => unit.ToUpperInvariant() switch
    {
        "V" => kind.ToLowerInvariant() switch { "ac" or "rms" => "volt-ac", "pp" => "volt-ripple-pp", _ => "volt-dc" },
        "Ω" or "Ω" or "OHM" or "OHMS" or "R" => "ohm",
        "A" => "ampere",
        "HZ" => "hertz",
        "F" => "farad",
        "S" => "second",
        _ => null,
    };

    private static double Scale(string prefix) => prefix switch
    {
        "M" => 1e6,
        "k" or "K" => 1e3,
        "m" => 1e-3,
        "u" or "µ" or "μ" => 1e-6,
        "n" => 1e-9,
        "p" => 1e-12,
        _ => 1,
    };

    [GeneratedRegex(@"^(?<sign>[+-]?)\s*(?:(?<whole>\d+)(?<infix>[RkKM])(?<rest>\d+)|(?<whole>\d+(?:[.,]\d+)?|[.,]\d+)\s*(?<prefix>[MkKmuµμnp]?))\s*(?<unit>V|v|Ω|Ω|[Oo]hms?|R|A|a|Hz|hz|HZ|F|f|s)?\s*(?<kind>DC|dc|AC|ac|rms|RMS|pp|PP|p-p)?$")]
    private static partial Regex Shape();
}
