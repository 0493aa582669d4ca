using System.Diagnostics;
using System.Text.Json;
using System.Xml.Linq;

namespace Shell.Tests.Cli;

/// <summary>The built program listens to files; sox makes them.</summary>
public sealed class ListenTests : IDisposable
{
    private readonly string folder = Directory.CreateTempSubdirectory("bellwire-ear-").FullName;
    public void Dispose() => Directory.Delete(folder, recursive: true);
    private string At(string name) => Path.Combine(folder, name);

    private static (int Code, string Out, string Error) Run(string program, params string[] args)
    {
        using var process = Process.Start(new ProcessStartInfo(program, args) { RedirectStandardOutput = true, RedirectStandardError = true })!;
        var error = process.StandardError.ReadToEndAsync();
        var output = process.StandardOutput.ReadToEnd();
        process.WaitForExit();
        return (process.ExitCode, output, error.Result);
    }

    private static (int Code, string Out, string Error) Bellwire(params string[] args) => Run("dotnet", [Path.Combine(AppContext.BaseDirectory, "bellwire.dll"), .. args]);

    [Fact]
    public void Hum_is_told_in_words_json_and_a_plot()
    {
        // Sox: a sawtooth of twice the line, as of a full-wave rectifier with a dry reservoir.
        MakeRipple(At("ripple.wav"), 120.1);
        var (code, words, error) = Bellwire("listen", At("ripple.wav"), "--line", "60", "--svg", At("plot.svg"));
        Assert.True(code == 0, error);
        Assert.Contains("ripple, as of a dry reservoir", words);
        Assert.Contains("no null run", words);
        Assert.Equal("svg", XDocument.Load(At("plot.svg")).Root!.Name.LocalName);
        using var json = JsonDocument.Parse(Bellwire("listen", At("ripple.wav"), "--json").Out);
        var channel = json.RootElement.GetProperty("channels")[0];
        Assert.Equal("ripple", channel.GetProperty("humVerdict").GetProperty("kind").GetString());
        Assert.Equal(60.05, channel.GetProperty("hum").GetProperty("lineHertz").GetDouble(), 0.01);
        Assert.NotEqual("", channel.GetProperty("noise").GetProperty("how").GetProperty("window").GetString());
        Assert.Contains("That was the lead", Bellwire("listen", At("ripple.wav"), "--as", "hum", "--null", At("ripple.wav")).Out);
    }

    private static void MakeRipple(string file, double hertz) => Assert.Equal(0, Run("sox", "-R", "-n", "-r", "48000", "-b", "16", file, "synth", "10", "sawtooth", hertz.ToString(System.Globalization.CultureInfo.InvariantCulture), "gain", "-20").Code);

    [Fact]
    public void A_signal_made_is_a_signal_measured()
    {
        Assert.Equal(0, Bellwire("signal", "tone", At("tone.wav"), "--hertz", "997", "--peak", "-20", "--seconds", "2").Code);
        // Judge of the level: sox stats. A sine that peaks at −20 dBFS reads −23.01 dBFS RMS; the soft ends take 0.02 dB.
        var stats = Run("sox", At("tone.wav"), "-n", "stats").Error;
        Assert.Contains("Pk lev dB     -20.00", stats);
        var tone = Bellwire("listen", At("tone.wav"), "--as", "tone").Out;
        Assert.Contains("997.000 Hz", tone);
        Assert.Contains("−23.0", tone);
        Assert.Equal(1, Bellwire("signal", "tone", At("tone.wav")).Code); // it exists
        Assert.Equal(0, Bellwire("signal", "sweep", At("sweep.wav"), "--seconds", "2").Code);
        Assert.Contains("orders told apart", Bellwire("listen", At("sweep.wav"), "--as", "response", "--seconds", "2").Out);
        // Pink noise, and sox's own: told apart; a wire between is flat.
        Assert.Equal(0, Bellwire("signal", "pink", At("pink.wav"), "--seconds", "8").Code);
        var (flat, words, error) = Bellwire("listen", At("pink.wav"), "--as", "pink", "--hold", "response 100..10000 -0.6..0.6");
        Assert.True(flat == 0, words + error);
        Assert.Contains("third octaves over those played; delay 0.00 ms", words);
        Assert.Equal(0, Run("sox", "-R", "-n", "-r", "48000", "-b", "24", At("other.wav"), "synth", "8", "pinknoise", "gain", "-10").Code);
        Assert.Contains("was not found in it", Bellwire("listen", At("other.wav"), "--as", "pink").Out);
        Assert.Equal(0, Bellwire("signal", "steps", At("steps.wav"), "--hertz", "100", "1000", "8000").Code);
        words = Bellwire("listen", At("steps.wav"), "--as", "steps", "--hertz", "100", "1000", "8000").Out;
        Assert.Contains("stepped tones, sine fit at each", words);
        Assert.Contains("8000 Hz    0.00 dB", words);
    }

    /// <summary>Sox makes a tone of 1 kHz that peaks at −12 dBFS, so −15.01 dBFS RMS, in a noise floor of its dither alone.</summary>
    [Fact]
    public void It_says_within_or_outside_and_by_what_margin()
    {
        Assert.Equal(0, Run("sox", "-R", "-n", "-r", "48000", "-b", "24", At("tone.wav"), "synth", "4", "sine", "1000", "gain", "-12").Code);
        var (code, words, error) = Bellwire("listen", At("tone.wav"), "--hold", "level -16..-14", "--hold", "distortion ..0.1");
        Assert.True(code == 0, words + error);
        Assert.Contains("Held       level −16..−14: −15.01 dBFS ± 0.01; within its limits by 0.9", words.Replace("-15.01", "−15.01"));
        Assert.Contains("within its limits by 0.1 %", words);
        Assert.Contains("Tone ", words); // what is held is listened for
        using (var json = JsonDocument.Parse(Bellwire("listen", At("tone.wav"), "--hold", "level ..-20", "--json").Out))
        {
            var held = json.RootElement.GetProperty("held")[0];
            Assert.Equal("outside", held.GetProperty("verdict").GetString());
            Assert.Equal(-4.99, held.GetProperty("margin").GetDouble(), 0.02);
            Assert.Equal(-20, held.GetProperty("high").GetDouble());
        }
        (code, words, _) = Bellwire("listen", At("tone.wav"), "--hold", "level ..-20");
        Assert.Equal(1, code);
        Assert.Contains("outside its limits by 4.99", words);
        Assert.Equal(1, Bellwire("listen", At("tone.wav"), "--hold", "level -15.01..0").Code); // too near to say
        (code, words, _) = Bellwire("listen", At("tone.wav"), "--hold", "level -16..-14", "--telephone");
        Assert.Equal(1, code);
        Assert.Contains("a telephone sets its own level", words);
    }

    /// <summary>0 dBu is √0.6 V (0.7746 V), 0 dBV 1 V, +2.218 dBu: common references of level.</summary>
    [Fact]
    public void After_calibration_levels_are_told_in_volts_dBu_and_dBV()
    {
        Assert.Equal(0, Run("sox", "-R", "-n", "-r", "48000", "-b", "24", At("ref.wav"), "synth", "2", "sine", "1000", "gain", "-12").Code);
        Assert.Equal(0, Run("sox", "-R", "-n", "-r", "48000", "-b", "24", At("low.wav"), "synth", "2", "sine", "400", "gain", "-32").Code);
        // The reference reads 1 V; 20 dB below it is 0.1 V, −17.78 dBu, −20 dBV. Full scale: √2 V at −12 dB is 5.63 V.
        var (code, words, error) = Bellwire("listen", At("low.wav"), "--reference", At("ref.wav"), "--volts", "1");
        Assert.True(code == 0, error);
        Assert.Contains("Volts      0.1 V RMS, −17.78 dBu, −20.00 dBV; full scale is 5.63", words);
        using var json = JsonDocument.Parse(Bellwire("listen", At("low.wav"), "--full-scale", "5.6300", "--json").Out);
        Assert.Equal(-20, json.RootElement.GetProperty("channels")[0].GetProperty("dbv").GetDouble(), 0.01);
        Assert.Equal(2, Bellwire("listen", At("low.wav"), "--volts", "1").Code);
        Assert.Equal(2, Bellwire("listen", At("low.wav"), "--full-scale", "-1").Code);
    }

    [Fact]
    public void A_sheet_s_check_holds_a_recording_to_its_own_limits()
    {
        // E5 struck by sox, dying away: what the sheet's chime plays first.
        Assert.Equal(0, Run("sox", "-R", "-n", "-r", "48000", "-b", "16", At("e5.wav"), "synth", "3", "pluck", "659.26", "gain", "-6", "pad", "0.5", "0").Code);
        var (code, words, error) = Bellwire("listen", At("e5.wav"), "--check", "corridor-nine/ear-chime");
        Assert.True(code == 0, words + error);
        Assert.Contains("Record the chime: its first note: the note it should be", words);
        Assert.Contains("within its limits by", words);
        Assert.Equal(0, Run("sox", "-R", "-n", "-r", "48000", "-b", "16", At("g5.wav"), "synth", "3", "pluck", "783.99", "gain", "-6", "pad", "0.5", "0").Code);
        (code, words, _) = Bellwire("listen", At("g5.wav"), "--check", "corridor-nine/ear-chime");
        Assert.Equal(1, code);
        Assert.Contains("too high", words);
        Assert.Contains("outside its limits by 10", words);
        // A wire is flat: within the sheet's limits of a response, which are drawn.
        Assert.Equal(0, Bellwire("signal", "sweep", At("sweep.wav"), "--bits", "24").Code);
        (code, words, error) = Bellwire("listen", At("sweep.wav"), "--check", "corridor-nine/ear-response", "--svg", At("response.svg"));
        Assert.True(code == 0, words + error);
        Assert.Contains("limits", File.ReadAllText(At("response.svg")));
    }

    [Fact]
    public void Bad_input_is_one_clear_line_and_an_exit_code()
    {
        File.WriteAllText(At("text.wav"), "not a sound");
        File.WriteAllBytes(At("empty.wav"), []);
        Assert.Equal(0, Bellwire("signal", "tone", At("tone.wav"), "--seconds", "1").Code);
        foreach (var (args, expected, words) in new (string[], int, string)[]
        {
            (["listen", At("text.wav")], 2, "not a WAV file"),
            (["listen", At("empty.wav")], 2, "empty"),
            (["listen", At("none.wav")], 1, "there is no"),
            (["listen", At("text.wav"), "--as", "smell"], 2, "hum, tone"),
            (["listen", At("text.wav"), "--line", "400"], 2, "50 or 60"),
            (["listen", At("tone.wav"), "--channel", "2"], 2, "channels 1 to 1"),
            (["listen", At("tone.wav"), "--hold", "level 3..1"], 2, "the lower limit comes first"),
            (["listen", At("tone.wav"), "--hold", "loudness 3..1"], 2, "no measure with limits"),
            (["listen", At("tone.wav"), "--check", "ear-noise"], 2, "SHEET/CHECK"),
            (["listen", At("tone.wav"), "--check", "corridor-nine/no-such"], 1, "ear-noise"),
            (["listen", At("tone.wav"), "--check", "no-such/ear-noise"], 1, "no shipped sheet"),
            (["signal", "tone", At("x.wav"), "--peak", "3"], 2, "0 dBFS"),
            (["signal", "pink", At("x.wav"), "--peak", "-1"], 2, "ask for"),
        })
        {
            var (code, _, error) = Bellwire(args);
            Assert.Equal(expected, code);
            Assert.Contains(words, error);
            Assert.Equal(1, error.Count(c => c == '\n'));
        }
    }
}
