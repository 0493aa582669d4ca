using System.Text;
using Bellwire.Circuits;
using Bellwire.Circuits.Shapes;

namespace Core.Tests.Circuits;

/// <summary>Supplies built from their shape.</summary>
public class ShapeTests
{
    public static TheoryData<string> Names => [.. ShapeCorpus.All.Select(s => s.Name)];

    public static TheoryData<string> Healthy => [.. ShapeCorpus.All.Select(s => s.Name).Where(n => !n.Contains("shorted", StringComparison.Ordinal))];

    internal static SupplyCircuit Of(string name) => ShapeCorpus.All.Single(s => s.Name == name).Shape.Build().Required;

    [Fact]
    public void Every_shape_agrees_with_ngspice_within_a_percent()
    {
        var off = Judged(ShapeCorpus.All.Select(s => (s.Name, Circuit: s.Shape.Build().Required)).Select(s => (s.Name, s.Circuit.Netlist, s.Circuit.Points)));
        Assert.True(off.Count == 0, string.Join('\n', off));
    }

    /// <summary>ngspice 39 with the exported circuits, from our start, twelve periods on: mean, ripple and RMS at every test point within a per cent.</summary>
    internal static List<string> Judged(IEnumerable<(string Name, Netlist Netlist, System.Collections.Immutable.ImmutableArray<TestPoint> Points)> circuits)
    {
        const int Periods = 12;
        var cases = circuits.Select(s => (s.Name, s.Netlist, s.Points, Steady: SteadyState.Solve(s.Netlist).Required)).ToList();
        var jobs = cases.Select(c =>
        {
            var (lines, nodes) = SpiceText.Write(c.Netlist, c.Steady);
            var t = c.Steady.PeriodSeconds;
            var window = $"from={Ngspice.N(t * (Periods - 1))} to={Ngspice.N(t * Periods)}";
            var commands = new StringBuilder($"tran {Ngspice.N(t / 400)} {Ngspice.N(t * Periods)} {Ngspice.N(t * (Periods - 1.5))} {Ngspice.N(t / 400)} uic\n");
            for (var k = 0; k < c.Points.Length; k++)
            {
                var p = c.Points[k];
                commands.Append($"let p{k}=v({nodes[p.Node]}){(p.Against == Netlist.Ground ? "" : $"-v({nodes[p.Against]})")}\nmeas tran avg{k} avg p{k} {window}\nmeas tran pp{k} pp p{k} {window}\nlet q{k}=p{k}-$&avg{k}\nmeas tran rms{k} rms q{k} {window}\n");
            }
            return (lines, commands.ToString());
        }).ToList();
        var theirs = jobs.Select(_ => new Dictionary<string, double>()).ToList();
        // Gear first; what ngspice cannot finish so, with other options.
        foreach (var options in new[] { "method=gear reltol=1e-4 abstol=1e-9 vntol=1e-6", "method=trap reltol=1e-3 abstol=1e-8 vntol=1e-5 itl4=200", "method=gear reltol=1e-3 abstol=1e-7 vntol=1e-5 itl4=500 rshunt=1e9" })
        {
            var missing = Enumerable.Range(0, jobs.Count).Where(k => !theirs[k].ContainsKey("avg0")).ToList();
            if (missing.Count == 0) break;
            var found = Ngspice.Run([.. missing.Select(k => (jobs[k].lines + $".options {options}\n", jobs[k].Item2))]);
            for (var k = 0; k < missing.Count; k++) theirs[missing[k]] = found[k];
        }
        var off = new List<string>();
        for (var n = 0; n < cases.Count; n++)
            for (var k = 0; k < cases[n].Points.Length; k++)
            {
                var p = cases[n].Points[k];
                var wave = cases[n].Steady.Volts(p.Node, p.Against);
                void Near(string what, double ours, string key, double absolute)
                {
                    if (!theirs[n].TryGetValue(key, out var other)) off.Add($"{cases[n].Name}: ngspice has no {key}");
                    else if (!(Math.Abs(ours - other) <= 0.01 * Math.Abs(other) + absolute)) off.Add(FormattableString.Invariant($"{cases[n].Name}: {what} of {p.Name} {ours:g6} against {other:g6}"));
                }

                Near("mean", wave.Mean, $"avg{k}", Math.Max(1e-4, 2e-3 * wave.AcRms)); // an alternating point's mean is nothing
                Near("ripple", wave.PeakToPeak, $"pp{k}", 2e-4);
                Near("RMS", wave.AcRms, $"rms{k}", 1e-4);
            }
        return off;
    }

    [Theory]
    [MemberData(nameof(Names))]
    public void Every_usual_fault_of_every_part_finds_a_steady_state(string name)
    {
        var circuit = Of(name);
        Assert.Empty(circuit.Netlist.Complaints());
        Assert.NotEmpty(circuit.Netlist.UsualFaults);
        var table = FaultTable.Build(circuit.Netlist, circuit.Points, new TableOptions { Draws = 1 });
        Assert.Equal(circuit.Netlist.UsualFaults.Count() + 1, table.Rows.Length);
        Assert.All(table.Rows, r => Assert.True(r.Unsolved == 0, $"{r.Words}: {r.FirstFailure?.Words}"));
    }

    [Theory]
    [MemberData(nameof(Healthy))]
    public void Healthy_rails_stand_where_they_are_meant_to(string name)
    {
        var circuit = Of(name);
        var s = SteadyState.Solve(circuit.Netlist).Required;
        foreach (var rail in circuit.Rails)
        {
            var volts = s.Volts(rail.Name).Mean;
            Assert.Equal(rail.Negative, volts < 0);
            // Data sheets: zeners and the junction of a pass transistor leave some per cent; regulators hold theirs.
            if (rail.MeantVolts is { } meant) Assert.InRange(volts / meant, 0.93, 1.05);
        }
        Assert.Empty(Stress.Of(s));
    }
}
