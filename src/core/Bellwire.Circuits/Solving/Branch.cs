namespace Bellwire.Circuits.Solving;

internal enum BranchKind { Resistive, Capacitive, Inductive, Ideal, Injected }

/// <summary>
/// A linear element between unknowns: it sees u = Σ sign·unknown and sends its current i out of each unknown in
/// proportion to the same signs (two nodes: +1, −1; a winding also −turns on its core's volts per turn).
/// Resistive: u = E + R·i. Capacitive: u = R·i + v, C·dv/dt = i. Inductive: u = R·i + L·di/dt.
/// Ideal: u = E with i as an unknown of its own. Injected: i = E.
/// </summary>
internal sealed class Branch(BranchKind kind, string device, Terminal[] at, double[] signs)
{
    public BranchKind Kind { get; } = kind;
    public string Device { get; } = device;
    public int[] Nodes { get; } = [.. at.Select(t => t.Node)];
    public int[] Pins { get; } = [.. at.Select(t => t.Pin)];
    public double[] Signs { get; } = signs;
    public double Ohms { get; init; }

    /// <summary>Farads or henries.</summary>
    public double Value { get; init; }
    public Waveform? Source { get; init; }

    /// <summary>The unknown that is the current of an ideal source.</summary>
    public int Row { get; init; } = -1;

    /// <summary>True when the branch remembers: a capacitor's volts, a coil's amperes.</summary>
    public bool HasState => Kind is BranchKind.Capacitive or BranchKind.Inductive;

    public double Across(ReadOnlySpan<double> x)
    {
        var u = 0.0;
        for (var k = 0; k < Nodes.Length; k++) u += Signs[k] * x[Nodes[k]];
        return u;
    }
}

/// <summary>An element whose currents are a memoryless function of its pin voltages.</summary>
internal abstract class Nonlinear(string device, params Terminal[] at)
{
    /// <summary>Conductance of a junction that conducts nothing, S, so that no node hangs in the air.</summary>
    public const double Leak = 1e-12;

    public string Device { get; } = device;
    public int[] Nodes { get; } = [.. at.Select(t => t.Node)];
    public int[] Pins { get; } = [.. at.Select(t => t.Pin)];

    /// <summary>How many numbers it wants to remember between iterations to keep steps short.</summary>
    public virtual int Memory => 0;

    /// <summary>Currents into the element at each pin and their derivatives (row-major, pin by pin) at pin voltages v.</summary>
    /// <param name="memory">Junction voltages of the last iteration, updated.</param>
    /// <param name="v">Pin voltages.</param>
    /// <param name="i">Out: the currents of the tangent, taken at v even if the tangent point was limited.</param>
    /// <param name="g">Out: derivatives.</param>
    /// <param name="limit">False: evaluate exactly at v.</param>
    /// <returns>True if the step was shortened, so that this iteration may not be the last.</returns>
    public abstract bool Evaluate(ReadOnlySpan<double> v, Span<double> i, Span<double> g, Span<double> memory, bool limit);
}
