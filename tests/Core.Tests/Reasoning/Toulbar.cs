using System.Diagnostics;
using System.Globalization;

namespace Core.Tests.Reasoning;

/// <summary>Has toulbar2 (Debian package toulbar2) reckon ln of a network's partition function.</summary>
internal static class Toulbar
{
    /// <summary>Three decimals; the program prints no more.</summary>
    public static double LogZ(string network)
    {
        var folder = Directory.CreateTempSubdirectory("bellwire-toulbar2").FullName;
        try
        {
            var file = Path.Combine(folder, "network.uai");
            File.WriteAllText(file, network);
            using var p = Start(folder, file);
            var error = p.StandardError.ReadToEndAsync();
            var text = p.StandardOutput.ReadToEnd();
            p.WaitForExit();
            var line = text.Split('\n').FirstOrDefault(l => l.Contains("<= Log(Z) <=", StringComparison.Ordinal))
                ?? throw new InvalidOperationException($"toulbar2 told no Log(Z) (exit {p.ExitCode}): {text}{error.Result}");
            var words = line.Split(' ', StringSplitOptions.RemoveEmptyEntries);
            double Number(int at) => double.Parse(words[at], CultureInfo.InvariantCulture);
            Assert.True(Math.Abs(Number(0) - Number(4)) <= 0.0011, "toulbar2 left a gap: " + line);
            return (Number(0) + Number(4)) / 2;
        }
        finally
        {
            Directory.Delete(folder, recursive: true);
        }
    }

    private static Process Start(string folder, string file)
    {
        try
        {
            return Process.Start(new ProcessStartInfo("toulbar2", [file, "-logz", "-precision=9", "-timer=60"]) { RedirectStandardOutput = true, RedirectStandardError = true, WorkingDirectory = folder })!;
        }
        catch (System.ComponentModel.Win32Exception e)
        {
            throw new InvalidOperationException("toulbar2 is not installed (Debian package toulbar2); the evidence cannot be judged by another program without it.", e);
        }
    }
}
