using System.Collections.Immutable;
using System.Globalization;
using System.Text.RegularExpressions;
using Bellwire.Circuits;
using Bellwire.Quantities;

namespace Bellwire.Counsel;

/// <summary>A supply that does not belong to the set, with its own resistance.</summary>
/// <param name="Words">What a person calls it; empty when it was told by its values alone.</param>
/// <param name="Volts">Open circuit; RMS where it alternates; above 0, at most <see cref="MostVolts"/>.</param>
/// <param name="Hertz">0 for DC; at most <see cref="MostHertz"/>.</param>
/// <param name="Ohms">Its own and its wires', Ω, from <see cref="LeastOhms"/> to <see cref="MostOhms"/>.</param>
/// <param name="Reversed">DC tied the wrong way round.</param>
public sealed partial record ForeignSource(string Words, double Volts, double Hertz, double Ohms, bool Reversed = false)
{
    public const double MostVolts = 1000, MostHertz = 400, LeastOhms = 0.01, MostOhms = 1e6, UsualOhms = 1, UsualHertz = 60;

    public double Volts { get; init => field = Within(value, double.Epsilon, MostVolts, "volts"); } = Within(Volts, double.Epsilon, MostVolts, "volts");
    public double Hertz { get; init => field = Within(value, 0, MostHertz, "hertz"); } = Within(Hertz, 0, MostHertz, "hertz");
    public double Ohms { get; init => field = Within(value, LeastOhms, MostOhms, "ohms"); } = Within(Ohms, LeastOhms, MostOhms, "ohms");

    /// <summary>What is found tied to door wires; volts as labelled, resistances estimates (common practice, no source).</summary>
    public static ImmutableArray<ForeignSource> Usual { get; } =
    [
        new("24 V bell transformer", 24, 60, 2),
        new("16 V chime transformer", 16, 60, 5),
        new("12 V adapter", 12, 0, 0.5),
        new("12 V adapter, wrong way round", 12, 0, 0.5, true),
        new("48 V supply", 48, 0, 1),
        new("line voltage, 120 V", 120, 60, 0.5),
        new("line voltage, 230 V", 230, 50, 0.8),
    ];

    public bool IsAlternating => Hertz > 0;

    /// <summary>More than touch may bear: 50 V AC or 120 V DC (IEC 61140, from memory).</summary>
    public bool IsDangerous => Volts > (IsAlternating ? 50 : 120);

    public Waveform Waveform => IsAlternating ? new Sine(Volts, Hertz) : new Steady(Reversed ? -Volts : Volts);

    /// <summary>"24 V AC, 60 Hz, 2 Ω".</summary>
    public string Values => $"{Engineering.Say(Volts, "V")} {(IsAlternating ? $"AC, {Engineering.Say(Hertz, "Hz")}" : "DC")}, {(Ohms < 1 ? $"{Ohms.ToString("0.###", CultureInfo.InvariantCulture)} Ω" : Engineering.Say(Ohms, "Ω"))}{(Reversed ? ", reversed" : "")}";

    public string Named => Words.Length > 0 ? $"{Words} ({Values})" : Values;

    /// <summary>Reads "24 V AC 2 ohm", "48 V DC", "230 V AC 50 Hz 0.8 ohm", "12 V DC 0.5 ohm reversed".</summary>
    /// <returns>Null with <paramref name="why"/> saying what is wrong and what to write.</returns>
    public static ForeignSource? Parse(string text, out string why)
    {
        ArgumentNullException.ThrowIfNull(text);
        why = $"“{text.Trim()}” is no source. Write volts, AC or DC and its own ohms, such as “24 V AC 2 ohm” or “12 V DC 0.5 ohm reversed”.";
        if (text.Length > 80 || Shape().Match(text.Trim()) is not { Success: true } m) return null;
        var alternating = m.Groups["kind"].Value.Equals("AC", StringComparison.OrdinalIgnoreCase);
        double volts = Number(m.Groups["volts"].Value), hertz = alternating ? UsualHertz : 0, ohms = UsualOhms;
        if (m.Groups["hertz"].Success)
        {
            if (!alternating) { why = "A DC source has no hertz."; return null; }
            hertz = Number(m.Groups["hertz"].Value);
        }
        if (m.Groups["ohms"].Success)
        {
            if (Engineering.Parse(m.Groups["ohms"].Value, "Ω", "", out why) is not { } own) return null;
            ohms = own;
        }
        if (m.Groups["reversed"].Success && alternating) { why = "An alternating source is never the wrong way round: leave “reversed” out."; return null; }
        why = volts is not (> 0 and <= MostVolts) ? $"Volts: above 0, at most {Engineering.Say(MostVolts, "V")}."
            : alternating && hertz is not (>= 1 and <= MostHertz) ? $"Hertz: 1 to {Engineering.Say(MostHertz, "Hz")}."
            : ohms is not (>= LeastOhms and <= MostOhms) ? $"Its own resistance: {Engineering.Say(LeastOhms, "Ω")} to {Engineering.Say(MostOhms, "Ω")}." : "";
        return why.Length > 0 ? null : new("", volts, hertz, ohms, m.Groups["reversed"].Success);
    }

    private static double Number(string digits) => double.Parse(digits.Replace(',', '.'), NumberStyles.AllowDecimalPoint, CultureInfo.InvariantCulture);

    private static double Within(double value, double low, double high, string name) =>
        value >= low && value <= high ? value : throw new ArgumentOutOfRangeException(name, value, string.Create(CultureInfo.InvariantCulture, $"A source's {name} lie from {low} to {high}."));

    [GeneratedRegex(@"^(?<volts>\d{1,9}(?:[.,]\d{1,9})?)\s*V\s*(?<kind>AC|DC)(?:,?\s+(?<hertz>\d{1,9}(?:[.,]\d{1,9})?)\s*Hz)?(?:,?\s+(?<ohms>\d\S{0,11})\s*(?:ohms?|Ω|Ω))?(?:,?\s+(?<reversed>reversed))?$", RegexOptions.IgnoreCase | RegexOptions.CultureInvariant)]
    private static partial Regex Shape();
}
