using System.Diagnostics;
using System.Globalization;
using System.Text;
using Bellwire.Circuits;

namespace Core.Tests.Circuits;

/// <summary>Runs many circuits in one ngspice process (Debian package ngspice) and reads what it measured.</summary>
internal static class Ngspice
{
    /// <param name="jobs">For each circuit its text and the commands of its analysis; measurements are named by what <c>print</c> or <c>meas</c> calls them.</param>
    /// <returns>For each circuit the measured values by name.</returns>
    public static List<Dictionary<string, double>> Run(IReadOnlyList<(string Netlist, string Commands)> jobs)
    {
        var folder = Directory.CreateTempSubdirectory("bellwire-ngspice").FullName;
        try
        {
            var control = new StringBuilder("batch\n.control\nset numdgt=9\nset noaskquit\n");
            for (var k = 0; k < jobs.Count; k++)
            {
                File.WriteAllText(Path.Combine(folder, $"c{k}.cir"), $"c{k}\n{jobs[k].Netlist}.end\n");
                control.Append(CultureInfo.InvariantCulture, $"source {folder}/c{k}.cir\necho JOB {k}\n{jobs[k].Commands}\nremcirc\ndestroy all\n");
            }
            control.Append("quit\n.endc\n.end\n");
            File.WriteAllText(Path.Combine(folder, "all.cir"), control.ToString());
            using var p = Start(folder);
            var error = p.StandardError.ReadToEndAsync();
            var text = p.StandardOutput.ReadToEnd();
            p.WaitForExit();
            var found = Enumerable.Range(0, jobs.Count).Select(_ => new Dictionary<string, double>()).ToList();
            var job = -1;
            foreach (var line in text.Split('\n'))
            {
                if (line.StartsWith("JOB ", StringComparison.Ordinal)) job = int.Parse(line[4..], CultureInfo.InvariantCulture);
                var parts = line.Split('=', 2, StringSplitOptions.TrimEntries);
                if (job >= 0 && parts.Length == 2 && double.TryParse(parts[1].Split(' ', '\t')[0], NumberStyles.Float, CultureInfo.InvariantCulture, out var value)) found[job][parts[0]] = value;
            }
            return found;
        }
        finally
        {
            Directory.Delete(folder, recursive: true);
        }
    }

    private static Process Start(string folder)
    {
        try
        {
            return Process.Start(new ProcessStartInfo("ngspice", ["-b", Path.Combine(folder, "all.cir")]) { RedirectStandardOutput = true, RedirectStandardError = true })!;
        }
        catch (System.ComponentModel.Win32Exception e)
        {
            throw new InvalidOperationException("ngspice is not installed (Debian package ngspice); circuits cannot be judged without it.", e);
        }
    }

    public static string N(double v) => v.ToString("R", CultureInfo.InvariantCulture);
}
