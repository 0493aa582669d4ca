using System.Text;
using Bellwire.Circuits;

namespace Core.Tests.Circuits;

/// <summary>
/// Every circuit of the corpus with its faults, exported and run by ngspice: DC within 0.5 %, ripple within 1.5 %, RMS within
/// 1 %. The sampled run takes each circuit healthy and every fifth fault; BELLWIRE_DEEP=1 takes all.
/// </summary>
public class NgspiceTests
{
    private const int Periods = 12;
    private static readonly bool Deep = Environment.GetEnvironmentVariable("BELLWIRE_DEEP") == "1";

    private static List<(string Name, Netlist Circuit)> Cases()
    {
        var list = new List<(string, Netlist)>();
        var count = 0;
        foreach (var (name, circuit) in Corpus.All)
        {
            list.Add((name, circuit));
            foreach (var f in circuit.UsualFaults)
                if (Deep || count++ % 5 == 0) list.Add(($"{name}, {f.Words}", circuit.Faulted(f)));
        }
        return list;
    }

    [Fact]
    public void Steady_states_agree()
    {
        // ngspice starts from our states and goes on for twelve periods; a wrong start would have wandered off by then.
        var cases = Cases();
        var ours = cases.Select(c => SteadyState.Solve(c.Circuit).Required).ToList();
        var jobs = cases.Select((c, k) =>
        {
            var (lines, nodes) = SpiceText.Write(c.Circuit, ours[k]);
            var t = ours[k].PeriodSeconds;
            var window = $"from={Ngspice.N(t * (Periods - 1))} to={Ngspice.N(t * Periods)}";
            var commands = new StringBuilder($"tran {Ngspice.N(t / 400)} {Ngspice.N(t * Periods)} {Ngspice.N(t * (Periods - 1.5))} {Ngspice.N(t / 400)} uic\n");
            foreach (var (name, spice) in nodes)
                if (name != Netlist.Ground)
                    commands.Append($"meas tran avg_{spice} avg v({spice}) {window}\nmeas tran pp_{spice} pp v({spice}) {window}\nlet ac_{spice}=v({spice})-$&avg_{spice}\nmeas tran rms_{spice} rms ac_{spice} {window}\n");
            foreach (var d in c.Circuit.Devices.OfType<VoltageSource>())
                commands.Append($"meas tran i_{d.Name} rms i({SpiceText.SourceName(d.Name)}) {window}\n");
            return (lines, commands.ToString());
        }).ToList();
        var theirs = Judged(jobs);
        var off = new List<string>();
        for (var k = 0; k < cases.Count; k++)
        {
            if (!theirs[k].ContainsKey("avg_n1"))
            {
                off.Add($"{cases[k].Name}: ngspice found no answer");
                continue;
            }

            void Near(string what, double mine, string key, double relative, double absolute)
            {
                if (!theirs[k].TryGetValue(key, out var other)) off.Add($"{cases[k].Name}: no {key}");
                else if (Math.Abs(mine - other) > relative * Math.Abs(other) + absolute) off.Add(FormattableString.Invariant($"{cases[k].Name}: {what} {mine:g6} against {other:g6}"));
            }

            var (_, nodes) = SpiceText.Write(cases[k].Circuit);
            foreach (var (name, spice) in nodes)
            {
                if (name == Netlist.Ground) continue;
                var wave = ours[k].Volts(name);
                Near($"mean of {name}", wave.Mean, $"avg_{spice}", 0.005, Math.Max(2e-3, 5e-3 * wave.AcRms)); // where alternation outweighs the mean, of that
                Near($"ripple of {name}", wave.PeakToPeak, $"pp_{spice}", 0.015, 3e-3);
                Near($"RMS of {name}", wave.AcRms, $"rms_{spice}", 0.01, 2e-3);
            }
            foreach (var d in cases[k].Circuit.Devices.OfType<VoltageSource>()) Near($"current of {d.Name}", ours[k].Amperes(d.Name).Rms, $"i_{d.Name.ToLowerInvariant()}", 0.01, 1e-5);
        }
        Assert.True(off.Count == 0, $"{off.Count} of {cases.Count} cases' values differ:\n{string.Join('\n', off.Take(40))}");
    }

    /// <summary>Gear first (the trapezoidal rule rings where a choke is cut off); what ngspice cannot finish so, with other options.</summary>
    private static List<Dictionary<string, double>> Judged(List<(string Netlist, string Commands)> jobs)
    {
        var answers = jobs.Select(_ => new Dictionary<string, double>()).ToList();
        foreach (var options in new[] { "method=gear reltol=1e-4 abstol=1e-9 vntol=1e-6", "method=trap reltol=1e-3 abstol=1e-8 vntol=1e-5 itl4=200", "method=gear reltol=1e-3 abstol=1e-7 vntol=1e-5 itl4=500 rshunt=1e9" })
        {
            var missing = Enumerable.Range(0, jobs.Count).Where(k => !answers[k].ContainsKey("avg_n1")).ToList();
            if (missing.Count == 0) break;
            var found = Ngspice.Run([.. missing.Select(k => (jobs[k].Netlist + $".options {options}\n", jobs[k].Commands))]);
            for (var k = 0; k < missing.Count; k++) answers[missing[k]] = found[k];
        }
        return answers;
    }

    [Fact]
    public void Operating_points_agree()
    {
        var cases = Cases();
        var ours = cases.Select(c => OperatingPoint.Solve(c.Circuit)).ToList();
        var jobs = cases.Select(c =>
        {
            var (lines, nodes) = SpiceText.Write(c.Circuit);
            return (Lines: lines, Nodes: nodes, Commands: "op\n" + string.Concat(nodes.Where(n => n.Key != Netlist.Ground).Select(n => $"print v({n.Value})\n")));
        }).ToList();
        // Where ngspice gives up, once more with other aids; at last beginning from our volts: what it ends at must then satisfy its own equations all the same.
        var theirs = jobs.Select(_ => new Dictionary<string, double>()).ToList();
        var told = new List<string>();
        foreach (var (options, near) in new[] { ("", false), ("itl1=2000 itl2=2000 gminsteps=200 srcsteps=0", false), ("itl1=2000 itl2=2000 noopiter gminsteps=1 srcsteps=500", false), ("itl1=2000 rshunt=1e12", true) })
        {
            var missing = Enumerable.Range(0, jobs.Count).Where(k => theirs[k].Count == 0).ToList();
            told.Add($"{missing.Count} of {jobs.Count} to do with {(options.Length > 0 ? options : "the usual aids")}");
            if (missing.Count == 0) break;
            var found = Ngspice.Run([.. missing.Select(k => (jobs[k].Lines
                + (near && ours[k].Value is { } op ? string.Concat(jobs[k].Nodes.Where(n => n.Key != Netlist.Ground).Select(n => $".nodeset v({n.Value})={Ngspice.N(op.Volts(n.Key))}\n")) : "")
                + $".options reltol=1e-5 abstol=1e-10 vntol=1e-7 {options}\n", jobs[k].Commands))]);
            for (var k = 0; k < missing.Count; k++) theirs[missing[k]] = found[k];
        }
        TestContext.Current.TestOutputHelper?.WriteLine(string.Join("\n", told));
        var off = new List<string>();
        for (var k = 0; k < cases.Count; k++)
        {
            var op = ours[k];
            if (theirs[k].Count == 0) off.Add($"{cases[k].Name}: ngspice found no operating point");
            else if (op.Value is null) off.Add($"{cases[k].Name}: {op.Failure!.Words}");
            else
                foreach (var (name, spice) in jobs[k].Nodes)
                    if (name != Netlist.Ground && (!theirs[k].TryGetValue($"v({spice})", out var other) || Math.Abs(op.Value.Volts(name) - other) > 0.005 * Math.Abs(other) + 5e-3)) // a node on a gigohm is moved by gmin
                        off.Add(FormattableString.Invariant($"{cases[k].Name}: {name} {op.Value.Volts(name):g6} against {(theirs[k].TryGetValue($"v({spice})", out var v) ? v : double.NaN):g6}"));
        }
        Assert.True(off.Count == 0, $"{off.Count} values differ:\n{string.Join('\n', off.Take(40))}");
    }
}
