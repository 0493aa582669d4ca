using System.CommandLine;
using Bellwire.Signals;

namespace Bellwire.App.Cli;

/// <summary><c>signal tone|two-tones|steps|sweep|pink</c>: test signals of exact level as WAV files.</summary>
internal static class SignalCommand
{
    /// <summary>Frequencies of `steps` where none are given, Hz.</summary>
    public static readonly double[] UsualSteps = [50, 100, 200, 500, 1000, 2000, 5000, 10000, 15000];

    public static Command Build()
    {
        var hertz = new Option<double>("--hertz") { Description = "Frequency, Hz.", DefaultValueFactory = _ => 1000 };
        var second = new Option<double>("--second") { Description = "The second frequency, Hz.", DefaultValueFactory = _ => 7000 };
        var seed = new Option<int>("--seed") { Description = "Equal seeds give equal noise.", DefaultValueFactory = _ => 1 };
        var list = new Option<double[]>("--hertz") { Description = "Frequencies one after another, Hz.", AllowMultipleArgumentsPerToken = true, DefaultValueFactory = _ => UsualSteps };
        return new("signal", "Make a test signal of exact level. Start quietly: small cones and dummy loads first.")
        {
            One("tone", "A steady sine.", -12, 5, [hertz], (p, s, o) => TestSignals.Tone(o.Rate, p.GetValue(hertz), s, o.Peak)),
            One("two-tones", "Two sines, each at half the peak.", -12, 5, [hertz, second], (p, s, o) => TestSignals.TwoTones(o.Rate, p.GetValue(hertz), p.GetValue(second), s, o.Peak)),
            One("steps", "Tones one after another, each so many seconds long.", -12, 1, [list], (p, s, o) => TestSignals.Steps(o.Rate, p.GetValue(list)!, s, o.Peak)),
            Sweep(),
            One("pink", "Pink noise; its level is RMS.", -24, 10, [seed], (p, s, o) => TestSignals.Pink(o.Rate, s, o.Peak, p.GetValue(seed))),
        };
    }

    private static Command Sweep()
    {
        var options = SweepOptions.All();
        var (file, rate, bits) = Common();
        var command = new Command("sweep", "An exponential sweep; `listen --as response` takes the same options.") { file, rate, bits };
        foreach (var option in options.Each()) command.Options.Add(option);
        command.SetAction((parsed, _) => Failing.Plainly(() => Write(parsed.GetValue(file)!, parsed.GetValue(bits), () => TestSignals.Sweep(parsed.GetValue(rate), options.Read(parsed)))));
        return command;
    }

    private static (Argument<string> File, Option<int> Rate, Option<int> Bits) Common() =>
        (new("file") { Description = "The WAV file to write; must not exist." },
         new("--rate") { Description = "Samples a second.", DefaultValueFactory = _ => 48_000 },
         new("--bits") { Description = "16 or 24.", DefaultValueFactory = _ => 24 });

    private static Command One(string name, string words, double usualPeak, double usualSeconds, Option[] own, Func<ParseResult, double, (int Rate, double Peak), Sound> make)
    {
        var (file, rate, bits) = Common();
        var seconds = new Option<double>("--seconds") { Description = "How long, s.", DefaultValueFactory = _ => usualSeconds };
        var peak = new Option<double>("--peak") { Description = "Level, dBFS, at most 0.", DefaultValueFactory = _ => usualPeak };
        var command = new Command(name, words) { file, rate, bits, seconds, peak };
        foreach (var option in own) command.Options.Add(option);
        command.SetAction((parsed, _) => Failing.Plainly(() => Write(parsed.GetValue(file)!, parsed.GetValue(bits), () => make(parsed, parsed.GetValue(seconds), (parsed.GetValue(rate), parsed.GetValue(peak))))));
        return command;
    }

    private static int Write(string file, int bits, Func<Sound> make)
    {
        if (bits is not (16 or 24)) return Failing.Say($"--bits {bits}: 16 or 24", 2);
        Sound sound;
        try { sound = make(); }
        catch (ArgumentException e) { return Failing.Say(e.Message.Split(" (Parameter")[0], 2); }
        if (sound.Rate is < 8_000 or > 192_000) return Failing.Say($"--rate {sound.Rate}: 8000 to 192000", 2);
        using (var stream = new FileStream(file, FileMode.CreateNew)) WavWriter.Write(stream, sound, bits == 16 ? WavKind.Pcm16 : WavKind.Pcm24);
        var level = LevelMeter.Measure(sound[0], sound.Rate);
        Console.WriteLine(FormattableString.Invariant($"{file}: {sound.Seconds:0.###} s at {sound.Rate} Hz, peak {level.PeakDbfs:0.00} dBFS, RMS {level.RmsDbfs:0.00} dBFS"));
        return 0;
    }
}
