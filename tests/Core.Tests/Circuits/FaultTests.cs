using Bellwire.Circuits;

namespace Core.Tests.Circuits;

/// <summary>Faults are changes of the netlist and nothing else; the rest of the circuit answers by circuit theory.</summary>
public class FaultTests
{
    private static readonly Netlist Divider = new(new VoltageSource("V1", "in", "0", 12), new Resistor("R1", "in", "out", 3000), new Resistor("R2", "out", "0", 1000));

    private static double Out(params Fault[] faults) => OperatingPoint.Solve(Divider.Faulted(faults)).Required.Volts("out");

    [Fact]
    public void Single_faults_of_a_divider_read_as_by_hand()
    {
        Assert.Equal(12, Out(new Open("R2")), 3);
        Assert.Equal(0, Out(new Open("R1")), 3);
        Assert.Equal(12, Out(new Shorted("R1")), 3);
        Assert.Equal(12.0 * 500 / 3500, Out(new Leaky("R2", 1000)), 9);
        Assert.Equal(12.0 * 1500 / 4500, Out(new Drifted("R2", 1.5)), 9);
        Assert.Equal(12.0 * 1000 / 5000, Out(new ContactResistance("R1", 1000)), 9);
        Assert.Equal(0, Out(new CrackedJoint("R1", Warm: true)), 3);
        Assert.Equal(3, Out(new CrackedJoint("R1", Warm: false)), 3);
    }

    [Fact]
    public void Faults_compose_and_leave_the_healthy_netlist_as_it_was()
    {
        var before = Divider.Fingerprint();
        Assert.Equal(12.0 * 500 / 5000, Out(new Drifted("R1", 1.5), new Leaky("R2", 1000)), 9);
        Assert.Equal(before, Divider.Fingerprint());
        Assert.NotEqual(before, Divider.Faulted(new Drifted("R1", 1.5)).Fingerprint());
    }

    [Fact]
    public void A_regulator_fails_in_its_four_ways()
    {
        var n = new Netlist(new VoltageSource("V1", "in", "0", 15, 0.5), new Regulator("U1", "in", "out", "0", 5), new Resistor("RL", "out", "0", 100));
        double Rail(Fault f) => OperatingPoint.Solve(n.Faulted(f)).Required.Volts("out");
        Assert.Equal(15 * 100 / 100.6, Rail(new RegulatorThrough("U1")), 0.03);
        Assert.Equal(0, Rail(new RegulatorOpen("U1")), 0.001);
        Assert.Equal(0, Rail(new RegulatorNoOutput("U1")), 0.001);
        Assert.Equal(13, Rail(new RegulatorCommonOpen("U1")), 0.15); // 2 V of dropout, a little in the source
        Assert.Equal(4.25, Rail(new Drifted("U1", 0.85)), 0.02);
    }

    [Fact]
    public void Transformers_lose_a_winding_or_turns()
    {
        var n = new Netlist(new VoltageSource("V1", "p", "0", new Sine(120, 60)), new Transformer("T1", ["p", "0", "s", "0"], [new(120, 20), new(24, 1)], 10), new Resistor("RL", "s", "0", 1e6));
        double Secondary(params Fault[] f) => SteadyState.Solve(n.Faulted(f)).Required.Volts("s").Rms;
        Assert.Equal(24, Secondary(), 0.1);
        Assert.Equal(0, Secondary(new WindingOpen("T1", 0)), 0.01);
        Assert.Equal(0, Secondary(new WindingOpen("T1", 1)), 0.05);
        // 5 % of the secondary shorted, 1.2 turns of 0.05 Ω, referred to the primary by (120/1.2)² = 500 Ω against 20 Ω: ratio by hand.
        Assert.Equal(24 * 0.95 * 500 / 520, Secondary(new ShortedTurns("T1", 1)), 0.05);
    }

    [Fact]
    public void A_fault_names_the_part_that_cannot_have_it()
    {
        Assert.Contains("R1 is a Resistor", Assert.Throws<ArgumentException>(() => Divider.Faulted(new DriedOut("R1"))).Message);
        Assert.Contains("No part is called C9", Assert.Throws<ArgumentException>(() => Divider.Faulted(new DriedOut("C9"))).Message);
    }

    [Fact]
    public void Every_usual_fault_of_every_kind_of_part_applies_and_solves()
    {
        foreach (var (name, circuit) in Circuits.Corpus.All)
            foreach (var fault in circuit.UsualFaults)
            {
                var s = SteadyState.Solve(circuit.Faulted(fault));
                Assert.True(s.Value is not null, $"{name}, {fault.Words}: {s.Failure?.Words}");
            }
    }
}
