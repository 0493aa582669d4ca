using Bellwire.Circuits;

namespace Core.Tests.Circuits;

/// <summary>Wiring that no matrix could solve is told before any matrix is built, with its place.</summary>
public class WiringTests
{
    [Fact]
    public void Without_ground_nothing_is_solved()
    {
        var n = new Netlist(new VoltageSource("V1", "a", "b", 5), new Resistor("R1", "a", "b", 10));
        var complaint = Assert.Single(n.Complaints());
        Assert.Equal(ComplaintKind.NoGround, complaint.Kind);
        Assert.Contains("a", complaint.Where);
    }

    [Fact]
    public void A_node_reached_only_through_capacitors_floats()
    {
        var n = new Netlist(new VoltageSource("V1", "a", "0", 5), new Capacitor("C1", "a", "mid", 1e-6), new Capacitor("C2", "mid", "0", 1e-6));
        var complaint = Assert.Single(n.Complaints());
        Assert.Equal((ComplaintKind.FloatingNode, "mid"), (complaint.Kind, complaint.Where));
        Assert.Contains("C1", complaint.Words);
        Assert.Contains("mid", Assert.Throws<ArgumentException>(() => OperatingPoint.Solve(n)).Message);
        Assert.Empty(n.With(new Resistor("R1", "mid", "0", 1e6)).Complaints());
    }

    [Fact]
    public void Two_ideal_sources_in_parallel_close_a_loop()
    {
        var n = new Netlist(new VoltageSource("V1", "a", "0", 5), new VoltageSource("V2", "a", "0", 6), new Resistor("R1", "a", "0", 10));
        var complaint = Assert.Single(n.Complaints());
        Assert.Equal((ComplaintKind.VoltageLoop, "V2"), (complaint.Kind, complaint.Where));
        Assert.Empty(n.Replace("V2", new VoltageSource("V2", "a", "0", 6, 0.1)).Complaints());
    }

    [Fact]
    public void Two_parts_of_one_name_and_values_out_of_range_are_refused()
    {
        Assert.Contains("R1", Assert.Throws<ArgumentException>(() => new Netlist(new Resistor("R1", "a", "0", 1), new Resistor("R1", "a", "0", 2))).Message);
        Assert.Contains("above 0", Assert.Throws<ArgumentOutOfRangeException>(() => new Resistor("R1", "a", "0", 0)).Message);
        Assert.Throws<ArgumentOutOfRangeException>(() => new Resistor("R1", "a", "0", double.NaN));
        Assert.Throws<ArgumentOutOfRangeException>(() => new Capacitor("C1", "a", "0", -1e-6));
    }
}
