using System.Diagnostics;
using System.Globalization;
using Bellwire.Reasoning;
using Bellwire.Reasoning.Tables;

namespace Bellwire.Perf;

/// <summary>ln p of whole tapes, and the time it takes, beside toulbar2 -logz on the same network written out (Debian package toulbar2).</summary>
internal static class EvidenceSpeed
{
    private const int MostSeconds = 30;

    public static void Run()
    {
        Measure.Warm();
        Console.WriteLine("| pieces | entries | hook-ups | seed | variables written | ln p, ours | ours, ms | nodes | ln Z, toulbar2 | toulbar2, ms |");
        Console.WriteLine("| --- | --- | --- | --- | --- | --- | --- | --- | --- | --- |");
        foreach (var (p, e, h) in new[] { (5, 5, 1), (5, 10, 4), (6, 10, 1), (6, 20, 4), (8, 10, 4), (12, 5, 1) })
            for (var seed = 1; seed <= 3; seed++)
            {
                var c = new Models(p, seed).Case(e, h);
                var cpu = Process.GetCurrentProcess().TotalProcessorTime;
                var w = Reasoner.Weigh(c, new WeighOptions(NodeBudget: int.MaxValue));
                var ours = (Process.GetCurrentProcess().TotalProcessorTime - cpu).TotalMilliseconds;
                if (w.Posterior is not { } belief) continue;
                var network = NetworkText.Of(w);
                var (theirs, ms) = Toulbar(network);
                Console.WriteLine(string.Create(CultureInfo.InvariantCulture,
                    $"| {p} | {e} | {h} | {seed} | {network.Split('\n')[1]} | {belief.LogEvidence:0.000} | {ours:0} | {belief.How.Nodes} | {theirs} | {ms} |"));
            }
    }

    private static (string LogZ, string Milliseconds) Toulbar(string network)
    {
        var folder = Directory.CreateTempSubdirectory("bellwire-toulbar2").FullName;
        try
        {
            File.WriteAllText(Path.Combine(folder, "n.uai"), network);
            using var p = Process.Start(new ProcessStartInfo("toulbar2", ["n.uai", "-logz", "-precision=9", $"-timer={MostSeconds}"]) { RedirectStandardOutput = true, RedirectStandardError = true, WorkingDirectory = folder })!;
            var error = p.StandardError.ReadToEndAsync();
            var text = p.StandardOutput.ReadToEnd();
            p.WaitForExit();
            var words = text.Split('\n').FirstOrDefault(l => l.Contains("<= Log(Z) <=", StringComparison.Ordinal))?.Split(' ', StringSplitOptions.RemoveEmptyEntries);
            return (words is null ? $"not within {MostSeconds} s" : words[0] == words[4] ? words[0] : $"{words[0]} to {words[4]}",
                words is null ? "" : (double.Parse(words[^2], CultureInfo.InvariantCulture) * 1000).ToString("0", CultureInfo.InvariantCulture));
        }
        finally
        {
            Directory.Delete(folder, recursive: true);
        }
    }
}
