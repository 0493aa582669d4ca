using System.Globalization;
using Bellwire.Sheets;
using Bellwire.Signals;

namespace Bellwire.App.Ears;

/// <summary>One measure of one recording, and what it means for the check it answers.</summary>
/// <param name="Verdict">A word, for measures that end in one; null when refused or for numbers.</param>
/// <param name="Value">A number in <paramref name="Unit"/>; null for words or when refused.</param>
/// <param name="Uncertainty">About two standard deviations, in the same unit.</param>
/// <param name="Said">In one line.</param>
/// <param name="Refusal">Why it is no evidence; null when it is.</param>
/// <param name="Outcome">The outcome of the check it is evidence for; null when it is none, or no check was asked.</param>
/// <param name="Margin">How far it lies inside the band of that outcome, or the verdict's own margin, in words.</param>
public sealed record EarFinding(string Measure, string? Verdict, double? Value, double? Uncertainty, string? Unit, string Said, string? Refusal, string? Outcome, string Margin)
{
    /// <summary>The kind of listening a measure needs, as <see cref="EarReport"/> names it.</summary>
    public static string? KindOf(string measure) => measure switch
    {
        "hum" or "hum-level" => "hum", "tone" or "distortion" => "tone", "note" or "interval" => "chime", "response" => "response", "noise" => "noise", _ => null,
    };

    /// <param name="check">The check it answers, or null for a free measurement.</param>
    /// <param name="byOwner">A telephone's recording: its level is its own.</param>
    public static EarFinding Of(EarReport report, string measure, CheckSpec? check, bool byOwner)
    {
        var channel = report.Heard.Channels[report.Channel - 1];
        if (report.Complaint is { } complaint) return Refused(measure, complaint);
        if (byOwner && EarMeasures.OfLevel.Contains(measure)) return Refused(measure, "a telephone sets its own level: only frequencies can be taken from its recordings");
        switch (measure)
        {
            case "hum":
                var verdict = report.Verdicts[report.Channel - 1];
                if (verdict is null) return Refused(measure, "less than a second was heard; record ten for hum");
                var word = verdict.Kind switch { HumKind.None => "none", HumKind.HalfMissing => "half-missing", HumKind.Ripple => "ripple", HumKind.PickUp => "pick-up", _ => null };
                if (word is null) return Refused(measure, verdict.Words);
                if (report.SetOff is null && !byOwner && word != "none") return Refused(measure, verdict.Words + " But without a null run it may be the lead: record the same lead with the set off") with { Verdict = word };
                return Word(measure, word, verdict.Words, check, word == "none" ? "" : Say($"margin {verdict.MarginDb:0.0} dB"));
            case "sound":
                if (report.SetOff is null) return Refused(measure, "whether it sounds is told from the same lead with the set off: record that too");
                var over = channel.Level.AcRmsDbfs - Math.Max(-120, report.SetOff.Channels[report.Channel - 1].Level.AcRmsDbfs);
                return over is > 6 and < 12 ? Refused(measure, Say($"it is only {over:0.0} dB over the lead with the set off: between silence and sound"))
                    : Word(measure, over >= 12 ? "heard" : "silent", Say($"{over:0.0} dB over the lead with the set off"), check, Say($"{Math.Abs(over - 9):0.0} dB from the middle"));
            case "level": return Number(measure, channel.Level.AcRmsDbfs, channel.Level.How.UncertaintyDb, check);
            case "hum-level": return channel.Hum is { } hum ? Number(measure, Math.Max(-140, hum.RmsDbfs), hum.How.UncertaintyDb, check) : Refused(measure, "less than a second was heard");
            case "noise": return channel.Noise is { } noise ? Number(measure, Math.Max(-140, noise.ADbfs), noise.How.UncertaintyDb, check) : Refused(measure, "nothing was heard");
            case "tone": return Number(measure, report.Distortion!.Fundamental.Hertz, report.Distortion.Fundamental.HertzUncertainty, check);
            case "distortion": return Number(measure, 100 * report.Distortion!.Thd, 100 * report.Distortion.ThdUncertainty, check);
            case "note" when report.Chime!.Notes.Length > 0: return Number(measure, report.Chime.Notes[0].Fundamental.Hertz, report.Chime.Notes[0].Fundamental.Hertz * (Math.Pow(2, 2.0 / 1200) - 1), check);
            case "interval" when report.Chime!.Notes.LastOrDefault()?.CentsFromLast is { } cents: return Number(measure, cents, 4, check);
            case "note" or "interval": return Refused(measure, measure == "note" ? "no note was struck in it" : "an interval takes two notes");
            default: return new(measure, null, null, null, null, "measured, and kept with its figures", null, null, "");
        }
    }

    private static EarFinding Refused(string measure, string why) => new(measure, null, null, null, null, char.ToUpperInvariant(why[0]) + why[1..].TrimEnd('.') + ".", why, null, "");

    private static EarFinding Word(string measure, string word, string said, CheckSpec? check, string margin) =>
        new(measure, word, null, null, null, said, check is not null && !check.Hears.ContainsKey(word) ? $"the sheet does not say what “{word}” means here" : null, check?.Hears.GetValueOrDefault(word), margin);

    private static EarFinding Number(string measure, double value, double uncertainty, CheckSpec? check)
    {
        var unit = EarMeasures.Numbers[measure];
        var said = Say($"{value:0.###} {unit} ± {uncertainty:0.###}");
        if (check is null) return new(measure, null, value, uncertainty, unit, said, null, null, "");
        var band = check.Bands.FirstOrDefault(b => value >= b.Value.Low && value < b.Value.High);
        if (band.Key is null) return new(measure, null, value, uncertainty, unit, said, "the sheet has no band for that", null, "");
        var inside = Math.Min(value - band.Value.Low, band.Value.High - value);
        return inside < uncertainty
            ? new(measure, null, value, uncertainty, unit, said, Say($"it lies {inside:0.###} {unit} from a limit and is uncertain by {uncertainty:0.###}: too near to say; record longer or quieter"), null, "")
            : new(measure, null, value, uncertainty, unit, said, null, band.Key, Say($"{inside:0.###} {unit} inside its band"));
    }

    private static string Say(FormattableString words) => words.ToString(CultureInfo.InvariantCulture);
}
