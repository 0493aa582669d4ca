using System.Collections.Immutable;
using System.Globalization;
using Bellwire.Sheets;
using Bellwire.Signals;

namespace Bellwire.Counsel.Ears;

/// <summary>One measure of one recording, and what it means for the check it answers.</summary>
/// <param name="Verdict">A word, for measures that end in one; null when refused or for numbers.</param>
/// <param name="Value">A number in <paramref name="Unit"/>; null for words or when refused. Of a response: the margin, dB, below 0 outside.</param>
/// <param name="Uncertainty">About two standard deviations, in the same unit.</param>
/// <param name="Said">In one line.</param>
/// <param name="Refusal">Why it is no evidence; null when it is.</param>
/// <param name="Outcome">The outcome of the check it is evidence for; null when it is none, or no check was asked.</param>
/// <param name="Margin">Within or outside which limits and by how much, or the verdict's own margin, in words; empty when there are none.</param>
public sealed record EarFinding(string Measure, string? Verdict, double? Value, double? Uncertainty, string? Unit, string Said, string? Refusal, string? Outcome, string Margin)
{
    /// <summary>Distance to the nearest limit in <see cref="Unit"/> (decibels of levels), below 0 outside; null where there is none, or for words.</summary>
    public double? Inside { get; init; }

    /// <summary>Within the limits, or the outcome that a good set shows; null when it is no evidence, or there is nothing to hold it against.</summary>
    public bool? Holds { get; init; }

    /// <summary>The same in one line that names what was measured, for screen and tape.</summary>
    public string Told => Value is null || Names.GetValueOrDefault(Measure) is not { } name ? Said : $"{name} {Said}";

    private static readonly ImmutableDictionary<string, string> Names = new Dictionary<string, string>
    {
        ["level"] = "Level", ["hum-level"] = "Hum", ["noise"] = "Noise", ["tone"] = "Tone", ["distortion"] = "Distortion", ["crosstalk"] = "Crosstalk", ["balance"] = "Balance", ["note"] = "Note", ["interval"] = "Interval",
    }.ToImmutableDictionary();

    /// <summary>A lead's level over that of the same lead with the set off: sound above, silence below, dB (common practice, no source).</summary>
    private const double SoundsDb = 12, SilentDb = 6;

    /// <param name="check">The check it answers, or null for a free measurement.</param>
    /// <param name="limits">Limits of a free measurement; those of a check are the sheet's.</param>
    /// <param name="byOwner">A telephone's recording: its level is its own.</param>
    public static EarFinding Of(Listened heard, string measure, CheckSpec? check, EarLimits? limits, bool byOwner)
    {
        ArgumentNullException.ThrowIfNull(heard);
        var found = Find(heard, measure, check, limits, byOwner);
        return found with { Holds = found.Refusal is not null ? null : check is null ? (found.Inside is { } inside ? inside >= 0 : null) : found.Outcome is { } outcome && check.Matrix.GetValueOrDefault(outcome)?.TryGetValue("good", out var good) == true ? good >= 0.5 : null };
    }

    private static EarFinding Find(Listened heard, string measure, CheckSpec? check, EarLimits? limits, bool byOwner)
    {
        var channel = heard.Channel;
        if (byOwner && EarMeasures.OfLevel.Contains(measure)) return Refused(measure, "a telephone sets its own level: only frequencies can be taken from its recordings");
        if (heard.Complaint is { } complaint) return Refused(measure, complaint);
        EarFinding Number(double value, double uncertainty, bool atLeast = false) => OfNumber(measure, value, uncertainty, atLeast, check, limits);
        return measure switch
        {
            "hum" => OfHum(heard, check, byOwner),
            "sound" => OfSound(heard, check),
            "response" => heard.Response is { } r ? OfResponse(r, check, limits) : Refused(measure, "no response was measured"),
            "level" => Number(channel.Level.AcRmsDbfs, channel.Level.How.UncertaintyDb),
            "hum-level" => channel.Hum is { } hum ? Number(Math.Max(-140, hum.RmsDbfs), hum.How.UncertaintyDb) : Refused(measure, "less than a second was heard"),
            "noise" => channel.Noise is { } noise ? Number(Math.Max(-140, noise.ADbfs), noise.How.UncertaintyDb) : Refused(measure, "nothing was heard"),
            "tone" => heard.Tone is { } tone ? Number(tone.Fundamental.Hertz, tone.Fundamental.HertzUncertainty) : Refused(measure, "no tone was found"),
            "distortion" => heard.Tone is { } tone ? Number(100 * tone.Thd, 100 * tone.ThdUncertainty) : Refused(measure, "no tone was found"),
            "crosstalk" => heard.Apart is { } apart ? Number(apart.Db, apart.How.UncertaintyDb, apart.AtLeast) : Refused(measure, "crosstalk takes two channels: the station that plays on the first, the other on the second"),
            "balance" => heard.Balance is { } balance ? Number(balance.Db, balance.How.UncertaintyDb) : Refused(measure, "balance takes two channels, both with the same sound"),
            // Two cents: what notes are measured to (proof of the engine).
            "note" => heard.Chime?.Notes.FirstOrDefault() is { } note ? Number(note.Fundamental.Hertz, note.Fundamental.Hertz * (Math.Pow(2, 2.0 / 1200) - 1)) : Refused(measure, "no note was struck in it"),
            "interval" => heard.Chime?.Notes.LastOrDefault()?.CentsFromLast is { } cents ? Number(cents, 4) : Refused(measure, "an interval takes two notes"),
            _ => throw new ArgumentOutOfRangeException(nameof(measure), measure, $"There are: {string.Join(", ", EarMeasures.All)}."),
        };
    }

    private static EarFinding OfHum(Listened heard, CheckSpec? check, bool byOwner)
    {
        if (heard.Hum is not { } verdict) return Refused("hum", "less than a second was heard; record ten for hum");
        var word = verdict.Kind switch { HumKind.None => "none", HumKind.HalfMissing => "half-missing", HumKind.Ripple => "ripple", HumKind.PickUp => "pick-up", _ => null };
        if (word is null) return Refused("hum", verdict.Words);
        if (heard.SetOff is null && !byOwner && word != "none") return Refused("hum", verdict.Words + " But without a null run it may be the lead: record the same lead with the set off") with { Verdict = word };
        return Word("hum", word, verdict.Words, check, word == "none" ? "" : Say($"margin {verdict.MarginDb:0.0} dB"));
    }

    private static EarFinding OfSound(Listened heard, CheckSpec? check)
    {
        if (heard.SetOff is not { } off) return Refused("sound", "whether it sounds is told from the same lead with the set off: record that too");
        var over = heard.Channel.Level.AcRmsDbfs - Math.Max(-120, off.Level.AcRmsDbfs);
        return over is > SilentDb and < SoundsDb ? Refused("sound", Say($"it is only {over:0.0} dB over the lead with the set off: between silence and sound"))
            : Word("sound", over >= SoundsDb ? "heard" : "silent", Say($"{over:0.0} dB over the lead with the set off"), check, Say($"by {(over >= SoundsDb ? over - SoundsDb : SilentDb - over):0.0} dB"));
    }

    private static EarFinding OfResponse(Response response, CheckSpec? check, EarLimits? free)
    {
        var limits = check?.Limits is { IsDefaultOrEmpty: false } of ? of : free?.Response ?? [];
        if (limits.IsDefaultOrEmpty) return new("response", null, null, null, null, "Measured, and kept with its figures; there are no limits to hold it against.", null, null, "");
        var (found, why) = ResponseFinding.Of(response, limits);
        if (found is null) return Refused("response", why);
        var margin = Say($"{(found.MarginDb >= 0 ? "within" : "outside")} its limits by {Math.Abs(found.MarginDb):0.0} dB");
        var said = Say($"{Upper(margin)}, nearest at {found.Hertz:0} Hz ({found.Db:+0.0;−0.0;0.0} dB re 1 kHz)");
        if (Math.Abs(found.MarginDb) < response.How.UncertaintyDb)
            return new("response", null, found.MarginDb, response.How.UncertaintyDb, "dB", said, Say($"that is less than it is uncertain by, {response.How.UncertaintyDb:0.0} dB: too near to say"), null, margin) { Inside = found.MarginDb };
        return Word("response", found.Verdict, said, check, margin) with { Value = found.MarginDb, Uncertainty = response.How.UncertaintyDb, Unit = "dB", Inside = found.MarginDb };
    }

    private static EarFinding Refused(string measure, string why) => new(measure, null, null, null, null, Upper(why).TrimEnd('.') + ".", why, null, "");

    private static EarFinding Word(string measure, string word, string said, CheckSpec? check, string margin) =>
        new(measure, word, null, null, null, said, check is not null && !check.Hears.ContainsKey(word) ? $"the sheet does not say what “{word}” means here" : null, check?.Hears.GetValueOrDefault(word), margin);

    private static EarFinding OfNumber(string measure, double value, double uncertainty, bool atLeast, CheckSpec? check, EarLimits? free)
    {
        var unit = EarMeasures.Numbers[measure];
        var said = $"{(atLeast ? "at least " : "")}{Digits(value, uncertainty)} {unit} ± {Digits(uncertainty, uncertainty)}";
        EarFinding Told(string? refusal, string? outcome, string margin, double? inside = null) => new(measure, null, value, uncertainty, unit, said, refusal, outcome, margin) { Inside = inside };
        if (check is null)
        {
            if (free is null || (free.Low is null && free.High is null)) return Told(null, null, "");
            var (low, high) = (free.Low ?? double.NegativeInfinity, free.High ?? double.PositiveInfinity);
            var margin = atLeast && value <= high ? value - low : Math.Min(value - low, high - value);
            // Noise hides the rest: what is at least so much may be more than either limit.
            if (atLeast && (value < low || (value <= high && double.IsFinite(high)))) return Told("noise hides the rest: more than that cannot be told", null, "");
            return Told(Math.Abs(margin) < uncertainty ? Near(margin, unit, uncertainty) : null, null, Limits(margin, unit), margin);
        }
        var band = check.Bands.FirstOrDefault(b => value >= b.Value.Low && value < b.Value.High);
        if (band.Key is null) return Told("the sheet has no band for that", null, "");
        // Noise hides the rest: what is at least so much may lie in any band above.
        if (atLeast && check.Bands.Any(b => b.Value.Low >= band.Value.High)) return Told("noise hides the rest, and it may be more: the sheet says another thing of that; play it louder", null, "");
        var inside = atLeast ? value - band.Value.Low : Math.Min(value - band.Value.Low, band.Value.High - value);
        if (inside < uncertainty) return Told(Near(inside, unit, uncertainty), null, "", inside);
        // Outside is said of what a good set shows, where the sheet has a band for that.
        var good = check.Matrix.Where(m => check.Bands.ContainsKey(m.Key) && m.Value.GetValueOrDefault("good") >= 0.5).Select(m => m.Key).FirstOrDefault();
        var outside = good is null || good == band.Key ? 0 : value < check.Bands[good].Low ? check.Bands[good].Low - value : value - check.Bands[good].High;
        return Told(null, band.Key, good == band.Key ? Limits(inside, unit) : good is null ? Say($"{inside:0.###} {Apart(unit)} inside its band") : Limits(-outside, unit), good is null || good == band.Key ? inside : -outside);
    }

    /// <summary>As many digits as the uncertainty is worth, two of its own; three behind the point at least, where they are not zero.</summary>
    private static string Digits(double value, double uncertainty) =>
        value.ToString("0." + new string('#', uncertainty > 0 ? Math.Clamp(1 - (int)Math.Floor(Math.Log10(uncertainty)), 3, 9) : 3), CultureInfo.InvariantCulture).Replace('-', '−');

    /// <summary>What two of a unit lie apart in: levels re full scale in decibels.</summary>
    private static string Apart(string unit) => unit.StartsWith("dB", StringComparison.Ordinal) ? "dB" : unit;

    private static string Limits(double margin, string unit) => Say($"{(margin >= 0 ? "within" : "outside")} its limits by {Math.Abs(margin):0.###} {Apart(unit)}");
    private static string Near(double margin, string unit, double uncertainty) => Say($"it lies {Math.Abs(margin):0.###} {Apart(unit)} from a limit and is uncertain by {uncertainty:0.###}: too near to say; record longer or quieter");
    private static string Upper(string words) => words.Length == 0 ? words : char.ToUpperInvariant(words[0]) + words[1..];
    private static string Say(FormattableString words) => words.ToString(CultureInfo.InvariantCulture);
}
