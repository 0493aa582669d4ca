using System.Diagnostics;
using System.Globalization;
using Bellwire.Signals;

namespace Core.Tests.Signals;

/// <summary>Programs outside the project that make and measure the same recordings: sox and octave.</summary>
internal static class Judges
{
    /// <summary>Runs a program to its end and gives what it printed on both channels.</summary>
    public static string Run(string program, params string[] args)
    {
        using var process = Process.Start(new ProcessStartInfo(program, args) { RedirectStandardOutput = true, RedirectStandardError = true })
            ?? throw new InvalidOperationException($"{program} did not start; it is a Debian package of that name.");
        var error = process.StandardError.ReadToEndAsync();
        var output = process.StandardOutput.ReadToEnd();
        process.WaitForExit();
        Assert.True(process.ExitCode == 0, $"{program} {string.Join(' ', args)}: {error.Result}");
        return output + error.Result;
    }

    /// <summary>Makes a recording by an octave script that leaves it in x (a column a channel) at rate fs.</summary>
    public static Sound Octave(string script, int bits = 32)
    {
        var file = Path.Combine(Path.GetTempPath(), $"bellwire-octave-{Guid.NewGuid():N}.wav");
        try
        {
            Run("octave-cli", "--no-gui", "--quiet", "--no-init-file", "--eval", $"{script}; audiowrite('{file}', x, fs, 'BitsPerSample', {bits});");
            return Load(file);
        }
        finally { File.Delete(file); }
    }

    public static Sound Load(string file)
    {
        using var stream = File.OpenRead(file);
        var opened = WavOpening.Of(stream);
        Assert.True(opened.Reader is not null, opened.Why);
        return opened.Reader.ReadAll();
    }

    /// <summary>A number behind a label in a program's print, such as "RMS lev dB".</summary>
    public static double Number(string printed, string label)
    {
        var line = printed.Split('\n').First(l => l.StartsWith(label, StringComparison.Ordinal));
        return double.Parse(line[label.Length..].Split(' ', StringSplitOptions.RemoveEmptyEntries)[0], CultureInfo.InvariantCulture);
    }
}

/// <summary>Samples with a seed.</summary>
internal static class Make
{
    public static double[] Noise(int seed, int length, double rms = 1)
    {
        var random = new Random(seed);
        var made = new double[length];
        for (var i = 0; i < length; i++) made[i] = rms * Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(2 * Math.PI * random.NextDouble());
        return made;
    }

    public static double[] Sine(int rate, double seconds, double hertz, double peak, double phase = 0) =>
        [.. Enumerable.Range(0, (int)Math.Round(rate * seconds)).Select(n => peak * Math.Sin(2 * Math.PI * hertz * n / rate + phase))];

    public static double[] Sum(params double[][] parts) => [.. Enumerable.Range(0, parts[0].Length).Select(n => parts.Sum(p => p[n]))];

    public static double[] Times(double[] samples, double gain) => [.. samples.Select(x => x * gain)];
}
