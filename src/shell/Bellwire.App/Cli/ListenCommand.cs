using System.CommandLine;
using System.Globalization;
using Bellwire.App.Ears;
using Bellwire.Signals;

namespace Bellwire.App.Cli;

/// <summary><c>listen</c>: what a recording tells.</summary>
internal static class ListenCommand
{
    private static readonly string[] Kinds = ["hum", "tone", "response", "chime", "noise", "balance"];

    public static Command Build()
    {
        var file = new Argument<string>("file") { Description = "A WAV file." };
        var line = new Option<double>("--line") { Description = "The house's line frequency: 60 or 50 Hz.", DefaultValueFactory = _ => 60 };
        var kind = new Option<string?>("--as") { Description = "What to listen for: hum, tone, response, chime, noise or balance (of two channels). Left out: level, noise, hum and troubles." };
        var off = new Option<string?>("--null") { Description = "The same lead recorded with the set off." };
        var json = new Option<bool>("--json") { Description = "All of it as JSON." };
        var svg = new Option<string?>("--svg") { Description = "Write the plot here." };
        var channel = new Option<int>("--channel") { Description = "Which channel tone, response, chime and noise listen to, from 1.", DefaultValueFactory = _ => 1 };
        var sweep = SweepOptions.All();
        var command = new Command("listen", "Measure a recording: level, noise, hum by line harmonics, distortion, response, chime notes.") { file, line, kind, channel, off, json, svg };
        foreach (var option in sweep.Each()) command.Options.Add(option);
        command.SetAction((parsed, stop) => Failing.Plainly(() =>
        {
            var (name, what, lineHertz) = (parsed.GetValue(file)!, parsed.GetValue(kind), parsed.GetValue(line));
            if (what is not null && !Kinds.Contains(what)) return Failing.Say($"--as {what}: listen for {string.Join(", ", Kinds)}", 2);
            if (lineHertz is not (50 or 60)) return Failing.Say(FormattableString.Invariant($"--line {lineHertz}: a line has 50 or 60 Hz"), 2);
            var asked = new ListenAsked(lineHertz, Hum: what is null or "hum" or "noise");
            if (!TryHear(name, asked, what is "tone" or "response" or "chime" or "noise" or "balance", stop, out var heard, out var code)) return code;
            Hearing? silent = null;
            if (parsed.GetValue(off) is { } offName && !TryHear(offName, new(lineHertz), false, stop, out silent, out code)) return code;
            if (silent is not null && silent.Channels.Count != heard!.Channels.Count)
                return Failing.Say($"{parsed.GetValue(off)} has {silent.Channels.Count} channels, {name} has {heard.Channels.Count}; record both alike", 2);
            if (parsed.GetValue(channel) < 1 || parsed.GetValue(channel) > heard!.Channels.Count)
                return Failing.Say($"--channel {parsed.GetValue(channel)}: {name} has channels 1 to {heard!.Channels.Count}", 2);
            var report = EarReport.Of(heard, silent, what, sweep.Read(parsed), parsed.GetValue(channel));
            if (report.Complaint is { } complaint) return Failing.Say($"{name}: {complaint}", 1);
            if (parsed.GetValue(svg) is { } picture) File.WriteAllText(picture, EarPlots.Of(heard!, report, what).Svg());
            if (parsed.GetValue(json)) Console.WriteLine(report.Json(name));
            else foreach (var words in report.Words()) Console.WriteLine(words);
            return 0;
        }));
        return command;
    }

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

    public IEnumerable<Option> Each() => [Low, High, Seconds, Peak];
    public SweepAsked Read(ParseResult parsed) => new(parsed.GetValue(Low), parsed.GetValue(High), parsed.GetValue(Seconds), parsed.GetValue(Peak));
}
