using System.Collections.Immutable;
using System.Globalization;
using Bellwire.Circuits;
using Bellwire.Quantities;

namespace Bellwire.Counsel;

/// <summary>A part that a foreign source takes beyond what it bears.</summary>
/// <param name="What">"resistor RD1, 22 Ω".</param>
/// <param name="Sites">Sites whose troubles name the part: "Intercom board: door input"; empty when none does.</param>
/// <param name="Strains">One for each kind of strain; at least one.</param>
/// <param name="Ends">How it gives way, in the order of time; empty when it does not, twice for a semiconductor whose short burns too.</param>
/// <param name="AtSeconds">From when the first of all this; null when it is judged over the whole run only.</param>
/// <param name="Spared">Its end could be reckoned and it has none: it outlasts it, or what goes before it saves it.</param>
public sealed record HurtPart(string Part, string What, ImmutableArray<string> Sites, ImmutableArray<Overload> Strains, ImmutableArray<GivingWay> Ends, double? AtSeconds, bool Spared = false)
{
    /// <summary>What it bears over what it may, at the worst; heat and melting, which are gathered, do not count.</summary>
    public double Worst => Strains.Where(s => s.What is not (Strain.Heat or Strain.Melts)).Select(s => s.Ratio).DefaultIfEmpty(1).Max();

    public bool Melts => Strains.Any(s => s.What == Strain.Melts);
    public bool Burns => Strains.Any(s => s.What == Strain.Heat);

    /// <summary>By how much, in words: "31 times its watts (7.8 W, 250 mW allowed)".</summary>
    public string HowMuch => string.Join("; ", Strains.Where(s => s.What is not (Strain.Heat or Strain.Melts)).Select(Said).DefaultIfEmpty(Melts ? "more than its melting integral" : "more heat than it survives"));

    /// <summary>What becomes of it and when: "burns after 0.86 s", "shorts after 3 ms, then opens after 0.2 s", "from 2.1 ms on".</summary>
    public string When => Ends.Length > 0 ? string.Join(", then ", Ends.Select(End))
        : AtSeconds is { } t ? t < 1e-4 ? "at once" : $"from {Time(t)} on"
        : Worst < 2 ? "runs hot" : Spared ? "saved by what goes before it" : "does not last";

    /// <summary>"shorts after 3 ms"; the word for it is the part's: a fuse melts, a resistor burns open.</summary>
    internal string End(GivingWay end) =>
        $"{(end.Ending == Ending.Shorts ? "shorts" : Melts ? "melts" : Ends[0] != end ? "opens" : "burns open")} {(end.AtSeconds < 1e-4 ? "at once" : $"after {(end.Reckoned ? "some " : "")}{Time(end.AtSeconds)}")}";

    public string Words => $"{char.ToUpperInvariant(What[0])}{What[1..]}: {HowMuch}; {When}.";

    /// <summary>"volts", "watts".</summary>
    internal static string Word(Strain what) => what switch { Strain.Volts => "volts", Strain.ReverseVolts => "volts the wrong way round", Strain.Amperes => "amperes", _ => "watts" };

    internal static string Said(Overload o) => o.What switch
    {
        Strain.ReverseVolts => $"{Engineering.Say(o.Actual, "V")} the wrong way round ({Engineering.Say(o.Allowed, "V")} allowed)",
        Strain.Volts => $"{Times(o)} its volts ({Engineering.Say(o.Actual, "V")}, {Engineering.Say(o.Allowed, "V")} allowed)",
        Strain.Amperes => $"{Times(o)} its amperes ({Engineering.Say(o.Actual, "A")}, {Engineering.Say(o.Allowed, "A")} allowed)",
        _ => $"{Times(o)} its watts ({Engineering.Say(o.Actual, "W")}, {Engineering.Say(o.Allowed, "W")} allowed)",
    };

    private static string Times(Overload o) => $"{Engineering.Say(o.Ratio, "")} times";

    /// <summary>Seconds with two digits: no more is known.</summary>
    internal static string Time(double seconds)
    {
        if (seconds >= 100) return $"{Math.Round(seconds / 60)} min";
        var digits = seconds <= 0 ? 1 : Math.Pow(10, Math.Floor(Math.Log10(seconds)) - 1);
        var said = Math.Round(seconds / digits) * digits;
        return seconds <= 0 ? "0 s" : said >= 0.1 ? $"{said.ToString("0.##", CultureInfo.InvariantCulture)} s" : Engineering.Say(said, "s");
    }
}
