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
