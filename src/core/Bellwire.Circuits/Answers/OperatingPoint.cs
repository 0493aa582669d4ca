using Bellwire.Circuits.Solving;

namespace Bellwire.Circuits;

/// <summary>The direct voltages and currents of a netlist with all alternation asleep.</summary>
public sealed class OperatingPoint
{
    private readonly Snapshot _snapshot;

    internal OperatingPoint(Netlist netlist, Snapshot snapshot, double[] unknowns, HowGot how) => (Netlist, _snapshot, Unknowns, How) = (netlist, snapshot, unknowns, how);

    public Netlist Netlist { get; }
    public HowGot How { get; }
    internal double[] Unknowns { get; }

    /// <summary>Damped Newton; if that fails, conductances to ground taken away step by step; if that fails, sources raised step by step.</summary>
    /// <exception cref="ArgumentException">The wiring has complaints (<see cref="Netlist.Complaints"/>).</exception>
    public static Outcome<OperatingPoint> Solve(Netlist netlist) => DirectSolver.Solve(netlist);

    /// <summary>V of a node against ground.</summary>
    /// <exception cref="ArgumentException">No such node.</exception>
    public double Volts(string node) => _snapshot.Volts(node);

    /// <summary>V of a node against another.</summary>
    public double Volts(string node, string against) => Volts(node) - Volts(against);

    /// <summary>A into a pin of a part (0 = the first).</summary>
    /// <exception cref="ArgumentException">No such part or pin.</exception>
    public double Amperes(string device, int pin = 0) => _snapshot.Into(Netlist[device], pin);

    /// <summary>W taken by a part; negative when it delivers.</summary>
    public double Watts(string device) => _snapshot.Watts(Netlist[device]);
}
