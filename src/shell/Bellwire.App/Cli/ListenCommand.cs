using System.CommandLine;
using System.Globalization;
using Bellwire.App.Ears;
using Bellwire.Signals;

namespace Bellwire.App.Cli;

/// <summary><c>listen</c>: what a recording tells.</summary>
internal static class ListenCommand
{
    private static readonly string[] Kinds = ["hum", "tone", "response", "pink", "steps", "chime", "noise", "balance"];

    public static Command Build()
    {
        var file = new Argument<string>("file") { Description = "A WAV file." };
        var line = new Option<double>("--line") { Description = "The house's line frequency: 60 or 50 Hz.", DefaultValueFactory = _ => 60 };
        var kind = new Option<string?>("--as") { Description = "What to listen for: hum, tone, response (by the sweep), pink or steps (response by pink noise or tones), chime, noise or balance (of two channels). Left out: level, noise, hum and troubles." };
        var off = new Option<string?>("--null") { Description = "The same lead recorded with the set off." };
        var json = new Option<bool>("--json") { Description = "All of it as JSON." };
        var svg = new Option<string?>("--svg") { Description = "Write the plot here." };
        var channel = new Option<int>("--channel") { Description = "Which channel tone, response, chime and noise listen to, from 1.", DefaultValueFactory = _ => 1 };
        var hertz = new Option<double[]>("--hertz") { Description = "The tones of `signal steps`, Hz, for --as steps.", AllowMultipleArgumentsPerToken = true, DefaultValueFactory = _ => SignalCommand.UsualSteps };
        var full = new Option<double?>("--full-scale") { Description = "Volts peak at full scale of the input: levels are told in V, dBu and dBV too." };
        var reference = new Option<string?>("--reference") { Description = "A tone recorded at the same setting, to take full scale from, with --volts." };
        var volts = new Option<double?>("--volts") { Description = "What a meter read while --reference was recorded, V RMS." };
        var (sweep, holding) = (SweepOptions.All(), Holding.Options());
        var command = new Command("listen", "Measure a recording: level, noise, hum by line harmonics, distortion, response, chime notes; within or outside limits.") { file, line, kind, channel, off, json, svg, hertz, full, reference, volts };
        foreach (var option in holding.Each().Concat(sweep.Each())) command.Options.Add(option);
        command.SetAction((parsed, stop) => Failing.Plainly(() =>
        {
            var (name, what, lineHertz) = (parsed.GetValue(file)!, parsed.GetValue(kind), parsed.GetValue(line));
            if (what is not null && !Kinds.Contains(what)) return Failing.Say($"--as {what}: listen for {string.Join(", ", Kinds)}", 2);
            if (lineHertz is not (50 or 60)) return Failing.Say(FormattableString.Invariant($"--line {lineHertz}: a line has 50 or 60 Hz"), 2);
            if (holding.Read(parsed, out var code) is not { } held) return code;
            // What is held to limits is listened for; the first of them is shown, where nothing was asked for by name.
            var kinds = held.Measures.Select(EarReport.KindOf).Append(what).ToList();
            var shown = what ?? kinds.FirstOrDefault(k => k is not null);
            var asked = new ListenAsked(lineHertz, Hum: shown is null or "noise" || kinds.Contains("hum"));
            if (!TryHear(name, asked, kinds.Any(k => k is not (null or "hum")), stop, out var heard, out code)) return code;
            Hearing? silent = null;
            if (parsed.GetValue(off) is { } offName && !TryHear(offName, new(lineHertz), false, stop, out silent, out code)) return code;
            if (silent is not null && silent.Channels.Count != heard!.Channels.Count)
                return Failing.Say($"{parsed.GetValue(off)} has {silent.Channels.Count} channels, {name} has {heard.Channels.Count}; record both alike", 2);
            if (parsed.GetValue(channel) < 1 || parsed.GetValue(channel) > heard!.Channels.Count)
                return Failing.Say($"--channel {parsed.GetValue(channel)}: {name} has channels 1 to {heard!.Channels.Count}", 2);
            var (played, complained) = sweep.Played(parsed, parsed.GetValue(hertz)!);
            if (played is null) return Failing.Say(complained, 2);
            if (!TryScale(parsed.GetValue(full), parsed.GetValue(reference), parsed.GetValue(volts), parsed.GetValue(channel), stop, out var scale, out code)) return code;
            var report = EarReport.Of(heard, silent, shown, played, parsed.GetValue(channel)) with { Calibration = scale };
            if (report.Complaint is { } complaint && what is not null) return Failing.Say($"{name}: {complaint}", 1);
            var findings = held.Of(report, played);
            var limits = findings.Select(f => f.Check?.Limits is { IsDefaultOrEmpty: false } own ? own : f.Limits?.Response ?? []).FirstOrDefault(l => !l.IsDefaultOrEmpty);
            if (parsed.GetValue(svg) is { } picture) File.WriteAllText(picture, EarPlots.Of(heard!, report, shown, limits).Svg());
            if (parsed.GetValue(json)) Console.WriteLine(report.Json(name, [.. findings.Select(f => f.Json())]));
            else foreach (var words in report.Words().Concat(findings.Count == 0 ? [] : findings.Select(f => f.Line()).Prepend(""))) Console.WriteLine(words);
            return findings.All(f => f.Finding.Holds == true) ? 0 : 1;
        }));
        return command;
    }

    /// <summary>What full scale is in volts; null, and true, where nothing was said of it.</summary>
    private static bool TryScale(double? full, string? reference, double? volts, int channel, CancellationToken stop, out Calibration? scale, out int code)
    {
        (scale, code) = (null, 2);
        if (full is null && reference is null && volts is null) return true;
        if (full is not null && reference is null && volts is null)
        {
            if (full is not (> 0 and <= 10_000)) { Failing.Say(FormattableString.Invariant($"--full-scale {full}: volts peak, above 0 and up to 10 000"), 2); return false; }
            scale = new(full.Value, UncertainDb);
            return true;
        }
        if (full is not null || reference is null || volts is null) { Failing.Say("either --full-scale, or --reference and --volts together", 2); return false; }
        if (volts is not (> 0 and <= 10_000)) { Failing.Say(FormattableString.Invariant($"--volts {volts}: V RMS, above 0 and up to 10 000"), 2); return false; }
        if (!TryHear(reference, new(60, Hum: false, Spectrum: false), false, stop, out var tone, out code)) return false;
        if (channel > tone!.Channels.Count || !(tone.Channels[channel - 1].Level.AcRms > 0)) { code = Failing.Say($"{reference}: {(channel > tone.Channels.Count ? $"it has no channel {channel}" : "it is silent: nothing to calibrate by")}", 1); return false; }
        scale = Calibration.From(tone.Channels[channel - 1].Level, volts.Value, UncertainDb);
        return true;
    }

    /// <summary>A hand meter's one part in a hundred (common practice, no source), dB.</summary>
    internal const double UncertainDb = 0.1;

    private static bool TryHear(string name, ListenAsked asked, bool keep, CancellationToken stop, out Hearing? heard, out int code)
    {
        (heard, code) = (null, 1);
        if (!File.Exists(name)) { Failing.Say($"there is no {name}", 1); return false; }
        var shown = -1;
        void Progress(double seconds, double? all)
        {
            // Every tenth minute of sound or so: short files are done before anything needs saying.
            if (Console.IsErrorRedirected || (int)(seconds / 300) == shown || seconds < 300) return;
            shown = (int)(seconds / 300);
            Console.Error.Write(string.Create(CultureInfo.InvariantCulture, $"\r{name}: {seconds / 60:0} min{(all is { } a ? $" of {a / 60:0}" : "")} heard"));
        }
        try
        {
            using var stream = new FileStream(name, FileMode.Open, FileAccess.Read, FileShare.Read, 1 << 16, FileOptions.SequentialScan);
            (heard, var why) = Hearing.Of(stream, asked, keep, Progress, stop);
            if (shown >= 0) Console.Error.WriteLine();
            if (heard is null) code = Failing.Say($"{name}: {why}", 2);
            return heard is not null;
        }
        catch (OperationCanceledException) { code = Failing.Say("stopped", 1); return false; }
    }
}

/// <summary>The sweep that was played: the same options, with the same usual values, for making and for listening.</summary>
internal sealed record SweepOptions(Option<double> Low, Option<double> High, Option<double> Seconds, Option<double> Peak)
{
    public static SweepOptions All()
    {
        static Option<double> One(string name, double usual, string words) => new(name) { Description = words, DefaultValueFactory = _ => usual };
        var usual = new SweepAsked();
        return new(One("--low", usual.LowHertz, "Where the sweep starts, Hz."), One("--high", usual.HighHertz, "Where the sweep ends, Hz."),
            One("--seconds", usual.Seconds, "How long it lasts, s."), One("--peak", usual.PeakDbfs, "Its peak, dBFS."));
    }

    private const double UsualPink = -24; // as `signal pink` makes it

    /// <summary>What was played: its peak, when it is given, is the RMS level of pink noise.</summary>
    /// <param name="steps">Hz of each tone; they last a second each and peak at −12 dBFS where nothing else is given.</param>
    public (Played? Played, string Why) Played(ParseResult parsed, double[] steps)
    {
        double Own(Option<double> option, double usual) => parsed.GetResult(option) is { Implicit: false } ? parsed.GetValue(option) : usual;
        var (each, peak) = (Own(Seconds, 1), Own(Peak, -12));
        if (steps.Length == 0 || steps.Any(f => f is not (> 0 and < 96_000)) || !(each is >= 0.1 and <= 60)) return (null, "--hertz takes tones above 0 Hz, --seconds 0.1 to 60 for each");
        var pink = parsed.GetResult(Peak) is { Implicit: false } ? parsed.GetValue(Peak) : UsualPink;
        return pink is <= 0 and >= -200 ? (new(Read(parsed), pink) { Steps = (steps, each, peak) }, "") : (null, FormattableString.Invariant($"--peak {pink}: from −200 to 0 dBFS"));
    }

    public IEnumerable<Option> Each() => [Low, High, Seconds, Peak];
    public SweepAsked Read(ParseResult parsed) => new(parsed.GetValue(Low), parsed.GetValue(High), parsed.GetValue(Seconds), parsed.GetValue(Peak));
}
