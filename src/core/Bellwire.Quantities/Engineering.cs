using System.Globalization;
using System.Text.RegularExpressions;

namespace Bellwire.Quantities;

/// <summary>Amounts as parts are marked and hands type them – "470 µF", "2u2", "1/2 A", "50 mfd", "100 ft" – in base SI units, and back into words.</summary>
public static partial class Engineering
{
    private static readonly (string Prefix, double Scale)[] Prefixes = [("M", 1e6), ("k", 1e3), ("", 1), ("m", 1e-3), ("µ", 1e-6), ("n", 1e-9), ("p", 1e-12)];

    /// <summary>Reads an amount of <paramref name="unit"/> (V, A, Ω, F, W, VA, Hz, s, h, m, mm, °C, %, kg …).</summary>
    /// <param name="usual">Prefix meant when neither prefix nor unit is typed: "µ" where capacitors are asked for.</param>
    /// <returns>The amount in the base unit, or null with <paramref name="why"/> saying what to type instead.</returns>
    public static double? Parse(string text, string unit, string usual, out string why)
    {
        ArgumentNullException.ThrowIfNull(text);
        why = "";
        var said = text.Trim().Replace('−', '-').Replace('μ', 'µ').Replace('Ω', 'Ω');
        if (unit == "F" && AmbiguousFarad().IsMatch(said))
        {
            why = $"“{said}” is ambiguous: old parts print MF for µF. Type µF, nF or pF.";
            return null;
        }
        var (rest, scale, named) = Strip(said, unit);
        var match = Shape().Match(rest);
        if (!match.Success)
        {
            why = $"“{text.Trim()}” is not an amount in {usual}{unit}. Type a number, such as {(unit == "F" ? "470 µF or 4u7" : unit == "Ω" ? "4k7 or 330 Ω" : "12" + (unit.Length > 0 ? " " + unit : ""))}.";
            return null;
        }
        var infix = match.Groups["infix"].Value;
        var prefix = infix.Length > 0 ? infix : match.Groups["prefix"].Value;
        var number = infix.Length > 0 ? Number(match.Groups["whole"].Value + "." + match.Groups["rest"].Value)
            : match.Groups["over"].Success ? (match.Groups["ones"].Success ? Number(match.Groups["ones"].Value) : 0) + Number(match.Groups["top"].Value) / Number(match.Groups["over"].Value)
            : Number(match.Groups["plain"].Value);
        var bare = !named && prefix.Length == 0;
        var value = number * scale * ScaleOf(bare ? usual : prefix);
        if (!double.IsFinite(value)) { why = $"“{text.Trim()}” is no finite amount."; return null; }
        return match.Groups["sign"].Value == "-" ? -value : value;
    }

    /// <summary>Three significant digits with the prefix a technician would use; capacitors stop at µF.</summary>
    /// <exception cref="ArgumentOutOfRangeException">NaN.</exception>
    public static string Say(double value, string unit)
    {
        if (double.IsNaN(value)) throw new ArgumentOutOfRangeException(nameof(value), value, "An amount is a number.");
        if (double.IsInfinity(value)) return value > 0 ? "without limit" : "below any limit";
        if (value == 0) return Join("0", "", unit);
        var size = Math.Abs(value);
        var steps = unit switch
        {
            "F" => Prefixes[4..],
            "V" or "A" or "Ω" or "Hz" or "s" => size >= 1000 && unit is "V" or "s" ? Prefixes[2..] : Prefixes,
            "W" or "VA" or "J" => size < 0.1 ? Prefixes[3..5] : Prefixes[2..3],
            _ => Prefixes[2..3],
        };
        var (prefix, scale) = steps.FirstOrDefault(p => size >= p.Scale * 0.9995, steps[^1]);
        return Join(Digits(value / scale), prefix, unit);
    }

    private static string Join(string number, string prefix, string unit) => unit.Length == 0 ? number : unit == "%" ? number + " %" : $"{number} {prefix}{unit}";

    private static string Digits(double value)
    {
        var size = Math.Abs(value);
        var decimals = size >= 99.95 ? 0 : size >= 9.995 ? 1 : size >= 0.9995 ? 2 : size >= 0.09995 ? 3 : 4;
        var rounded = size >= 1e4 ? Math.Round(value / Math.Pow(10, Math.Floor(Math.Log10(size)) - 2)) * Math.Pow(10, Math.Floor(Math.Log10(size)) - 2) : Math.Round(value, decimals);
        return rounded.ToString("0.####", CultureInfo.InvariantCulture).Replace("-", "−");
    }

    /// <summary>Takes the unit off the end; the old and the foreign names of a unit bring their scale.</summary>
    private static (string Number, double Scale, bool Named) Strip(string said, string unit)
    {
        (string Name, double Scale)[] names = unit switch
        {
            "F" => [("µµf", 1e-12), ("uuf", 1e-12), ("mmfd", 1e-12), ("mmf", 1e-12), ("mfd", 1e-6), ("f", 1)],
            "Ω" => [("ohms", 1), ("ohm", 1), ("ω", 1), ("r", 1)],
            "m" => [("feet", 0.3048), ("ft", 0.3048), ("'", 0.3048), ("m", 1)],
            "°C" => [("°c", 1), ("c", 1)],
            "h" => [("hours", 1), ("h", 1)],
            _ => [(unit.ToLowerInvariant(), 1)],
        };
        foreach (var (name, scale) in names)
            if (name.Length > 0 && said.Length > name.Length && said.EndsWith(name, StringComparison.OrdinalIgnoreCase)) return (said[..^name.Length].TrimEnd(), scale, true);
        return (said, 1, false);
    }

    private static double Number(string digits) => double.Parse(digits.Replace(',', '.'), NumberStyles.Float, CultureInfo.InvariantCulture);

    private static double ScaleOf(string prefix) => prefix switch
    {
        "M" => 1e6, "k" or "K" => 1e3, "m" => 1e-3, "u" or "µ" => 1e-6, "n" => 1e-9, "p" => 1e-12, _ => 1,
    };

    [GeneratedRegex(@"^(?<sign>[+-]?)\s*(?:(?<whole>\d+)(?<infix>[kKMmuµnpRr])(?<rest>\d+)|(?:(?:(?<ones>\d+)[ -])?(?<top>\d+)/(?<over>[1-9]\d*)|(?<plain>\d+(?:[.,]\d+)?|[.,]\d+))\s*(?<prefix>[MkKmuµnp]?))$")]
    private static partial Regex Shape();

    [GeneratedRegex(@"\d\s*[mM][fF]$")]
    private static partial Regex AmbiguousFarad();
}
