using System.Collections.Immutable;
using Bellwire.Circuits;

namespace Core.Tests.Circuits;

/// <summary>What must hold in every circuit whatever its parts: Kirchhoff, energy, scaling, parts in parallel.</summary>
public class LawTests
{
    [Fact]
    public void Currents_into_every_node_add_up_to_nothing_at_every_instant()
    {
        foreach (var (name, circuit) in Corpus.All)
        {
            var s = SteadyState.Solve(circuit).Required;
            foreach (var node in circuit.Nodes.Where(n => n != Netlist.Ground))
            {
                var pins = circuit.Devices.SelectMany(d => d.Nodes.Select((at, pin) => (d.Name, at, pin))).Where(p => p.at == node).Select(p => s.Amperes(p.Name, p.pin)).ToList();
                var largest = pins.Max(p => Math.Max(p.Max, -p.Min));
                for (var k = 0; k < pins[0].Values.Length; k++)
                    Assert.True(Math.Abs(pins.Sum(p => p.Values[k])) < 2e-4 * largest + 1e-6, $"{name}: Kirchhoff's law is missed at {node}");
            }
        }
    }

    [Fact]
    public void Over_a_period_what_sources_give_is_what_the_rest_takes()
    {
        foreach (var (name, circuit) in Corpus.All)
        {
            var s = SteadyState.Solve(circuit).Required;
            var watts = circuit.Devices.Select(d => s.Watts(d.Name).Mean).ToList();
            var given = -watts.Where(w => w < 0).Sum();
            Assert.True(Math.Abs(watts.Sum()) < 5e-3 * given + 1e-6, FormattableString.Invariant($"{name}: {watts.Sum():g3} W of {given:g3} W unaccounted for"));
        }
    }

    [Fact]
    public void Impedances_scaled_together_leave_the_volts_as_they_were()
    {
        Netlist At(double k) => new(new VoltageSource("V1", "a", "0", new Sine(10, 60), 5 * k), new Inductor("L1", "a", "b", 0.05 * k, 2 * k), new Capacitor("C1", "b", "0", 100e-6 / k, 0.5 * k), new Resistor("R1", "b", "0", 40 * k));
        var (one, ten) = (SteadyState.Solve(At(1)).Required.Volts("b"), SteadyState.Solve(At(10)).Required.Volts("b"));
        Assert.Equal(one.Rms, ten.Rms, 1e-4 * one.Rms);
        Assert.Equal(one.PeakToPeak, ten.PeakToPeak, 1e-3 * one.PeakToPeak);
    }

    [Fact]
    public void N_loads_in_parallel_are_one_of_an_nth()
    {
        var n = RectifierTests.CentreTapped();
        var four = n.Replace("RL", [.. Enumerable.Range(1, 4).Select(k => new Resistor($"R{k}", "raw", "0", 188))]);
        var (a, b) = (SteadyState.Solve(n).Required.Volts("raw"), SteadyState.Solve(four).Required.Volts("raw"));
        Assert.Equal(a.Mean, b.Mean, 1e-4);
        Assert.Equal(a.PeakToPeak, b.PeakToPeak, 1e-3);
    }
}
