using System.Globalization;
using System.Text.RegularExpressions;
using Bellwire.Quantities;

namespace Bellwire.Counsel.Mends;

/// <summary>What stands on a fuse, or beside its holder: "T500mAL250V", "1/2 A 250 V slow", "F 1.25 A". IEC 60127 marking (letters from memory).</summary>
/// <param name="Speed">0 very quick (FF), 1 quick (F), 2 medium (M), 3 time-lag (T, slow), 4 long time-lag (TT); null when not marked.</param>
/// <param name="Breaking">L, E or H: low, enhanced, high breaking capacity; null when not marked.</param>
public sealed partial record FuseMarking(double Amps, int? Speed, char? Breaking, double? Volts)
{
    private static readonly string[] Speeds = ["very quick", "quick", "medium", "time-lag", "long time-lag"];

    public static FuseMarking? Parse(string text, out string why)
    {
        ArgumentNullException.ThrowIfNull(text);
        why = "";
        var said = text.Trim().Replace(',', '.');
        var amps = Amperes().Match(said);
        var value = amps.Success ? Amount(amps) : 0;
        if (value is not (>= 0.01 and <= 30))
        {
            why = $"“{text.Trim()}” shows no current from 10 mA to 30 A. Type it as it is printed, such as T500mA L 250V or 1/2 A 250 V slow.";
            return null;
        }
        var letter = Letter().Match(said);
        int? speed = letter.Success ? letter.Groups["s"].Value switch { "FF" => 0, "F" => 1, "M" => 2, "T" => 3, _ => 4 }
            : Slow().IsMatch(said) ? 3 : Quick().IsMatch(said) ? 1 : null;
        var volts = Volt().Match(said);
        return new(value, speed, amps.Groups["b"].Success ? char.ToUpperInvariant(amps.Groups["b"].Value[0]) : null,
            volts.Success ? double.Parse(volts.Groups["v"].Value, CultureInfo.InvariantCulture) : null);
    }

    public string Said => $"{Engineering.Say(Amps, "A")}{(Speed is { } s ? " " + Speeds[s] : "")}{(Breaking is { } b ? b switch { 'H' => ", high breaking", 'E' => ", enhanced breaking", _ => ", low breaking" } : "")}{(Volts is { } v ? $", {Engineering.Say(v, "V")}" : "")}";

    private static double Amount(Match m)
    {
        static double N(Group g) => g.Success ? double.Parse(g.Value, CultureInfo.InvariantCulture) : 0;
        var number = m.Groups["over"].Success ? N(m.Groups["ones"]) + N(m.Groups["top"]) / N(m.Groups["over"]) : N(m.Groups["n"]);
        return m.Groups["m"].Success ? number / 1000 : number;
    }

    [GeneratedRegex(@"(?:(?:(?<ones>\d+)[ -])?(?<top>\d+)/(?<over>[1-9]\d*)|(?<n>\d+(?:\.\d+)?|\.\d+))\s*(?<m>m)?[Aa](?:mps?)?(?![a-km-z])\s*(?<b>[LEH](?![a-z]))?")]
    private static partial Regex Amperes();
    [GeneratedRegex(@"^(?<s>FF|TT|F|M|T)(?=[\s\d.])")]
    private static partial Regex Letter();
    [GeneratedRegex(@"\b(slow|time|delay|lag)", RegexOptions.IgnoreCase)]
    private static partial Regex Slow();
    [GeneratedRegex(@"\b(quick|fast|normal)", RegexOptions.IgnoreCase)]
    private static partial Regex Quick();
    [GeneratedRegex(@"(?<v>\d+(?:\.\d+)?)\s*[Vv]")]
    private static partial Regex Volt();
}
