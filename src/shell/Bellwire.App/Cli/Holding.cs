using System.CommandLine;
using System.Globalization;
using Bellwire.App.Ears;
using Bellwire.Counsel.Ears;
using Bellwire.Sheets;

namespace Bellwire.App.Cli;

/// <summary>One measure held against its limits.</summary>
/// <param name="Check">The sheet's check the limits come from; null when they were written on the command line.</param>
internal sealed record Held(EarFinding Finding, EarLimits? Limits, CheckSpec? Check)
{
    /// <summary>In one line: what was measured, within or outside, by how much, and what the sheet makes of it.</summary>
    public string Line()
    {
        var f = Finding;
        var verdict = f.Refusal is { } why ? $"not told: {why.TrimEnd('.')}" : f.Margin.Length > 0 ? f.Margin : "";
        // A response's own words name its margin already.
        if (f.Refusal is null && f.Said.Contains(f.Margin, StringComparison.OrdinalIgnoreCase)) verdict = "";
        var said = f.Refusal is { } same && f.Said.TrimEnd('.').Equals(same.TrimEnd('.'), StringComparison.OrdinalIgnoreCase) ? "" : f.Said.TrimEnd('.');
        var outcome = f.Outcome is { } o ? $"{Check!.Words}: {Check.Says.GetValueOrDefault(o, o)}" : "";
        return $"{"Held",-10} {f.Measure}{(Written() is { Length: > 0 } w ? $" {w}" : "")}: {string.Join("; ", new[] { said, verdict, outcome }.Where(x => x.Length > 0))}";
    }

    /// <summary>For the report's JSON: the limits as they were given, the margin as a number.</summary>
    public object Json() => new
    {
        Finding.Measure, check = Check?.Id, low = Limits?.Low, high = Limits?.High,
        response = (Check?.Limits is { IsDefaultOrEmpty: false } own ? own : Limits?.Response is { IsDefault: false } free ? free : []).Select(l => new { l.LowHertz, l.HighHertz, l.LowDb, l.HighDb }),
        verdict = Finding.Holds switch { true => "within", false => "outside", null => "unclear" },
        Finding.Value, Finding.Uncertainty, Finding.Unit, margin = Finding.Inside, Finding.Outcome, Finding.Said, why = Finding.Refusal,
    };

    private string Written() => Check is not null || Limits is null ? "" : Limits.Response.IsDefaultOrEmpty
        ? Range(Limits.Low, Limits.High) : string.Join(", ", Limits.Response.Select(r => $"{Range(r.LowHertz, r.HighHertz)} Hz {Range(r.LowDb, r.HighDb)} dB"));

    private static string Range(double? low, double? high) => string.Create(CultureInfo.InvariantCulture, $"{low}..{high}").Replace('-', '−');
}

/// <summary>What a recording is held against: limits written on the command line, or a sheet's check with its own.</summary>
internal sealed record Holding(Option<string[]> Hold, Option<string?> Check, Option<bool> Telephone)
{
    public static Holding Options() => new(
        new("--hold") { Description = "Hold a measure to limits, such as \"level -14..-10\", \"distortion ..1\", \"response 100..8000 -3..3\"; may be given several times.", AllowMultipleArgumentsPerToken = false },
        new("--check") { Description = "Hold it to the limits of a sheet's check, SHEET/CHECK, such as corridor-nine/ear-noise." },
        new("--telephone") { Description = "The owner recorded it by telephone: frequencies are taken from it, levels are not." });

    public IEnumerable<Option> Each() => [Hold, Check, Telephone];

    /// <summary>What was asked, or null after one line on standard error; <paramref name="code"/> is then what to end with.</summary>
    public Asked? Read(ParseResult parsed, out int code)
    {
        code = 2;
        var held = new List<HeldTo>();
        foreach (var written in parsed.GetValue(Hold) ?? [])
        {
            var (one, why) = HeldTo.Parse(written);
            if (one is null) { code = Failing.Say($"--hold {why}", 2); return null; }
            held.Add(one);
        }
        CheckSpec? check = null;
        if (parsed.GetValue(Check) is { } name)
        {
            if (name.LastIndexOf('/') is not (> 0 and var slash)) { code = Failing.Say($"--check {name}: write SHEET/CHECK, such as corridor-nine/ear-noise", 2); return null; }
            if (!SheetNamed.Try(name[..slash], out var sheet, out code)) return null;
            var listened = sheet!.Checks.Where(c => c.Ear is not null).ToList();
            check = listened.FirstOrDefault(c => c.Id == name[(slash + 1)..]);
            if (check is null) { code = Failing.Say($"--check {name}: checks of {sheet.Id} that a recording answers are {(listened.Count == 0 ? "none" : string.Join(", ", listened.Select(c => c.Id)))}", 1); return null; }
        }
        return new([.. HeldTo.Gather(held)], check, parsed.GetValue(Telephone) || check?.How == "ask");
    }

    /// <param name="ByOwner">A telephone's recording.</param>
    public sealed record Asked(IReadOnlyList<HeldTo> Limits, CheckSpec? Check, bool ByOwner)
    {
        public IEnumerable<string> Measures => Limits.Select(l => l.Measure).Concat(Check is null ? [] : [Check.Ear!]);

        /// <summary>Each measure over the listening it needs.</summary>
        public IReadOnlyList<Held> Of(EarReport report, Played played)
        {
            EarReport For(string measure) => EarReport.KindOf(measure) is not { } kind || kind == report.As || (kind == "response" && report.As is "pink" or "steps") ? report : EarReport.Of(report.Heard, report.SetOff, kind, played, report.Channel);
            return
            [
                .. Limits.Select(l => new Held(EarFinding.Of(For(l.Measure).Listened, l.Measure, null, l.Limits, ByOwner), l.Limits, null)),
                .. Check is null ? [] : new[] { new Held(EarFinding.Of(For(Check.Ear!).Listened, Check.Ear!, Check, null, ByOwner), null, Check) },
            ];
        }
    }
}
