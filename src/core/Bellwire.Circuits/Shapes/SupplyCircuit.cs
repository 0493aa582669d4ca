using System.Collections.Immutable;

namespace Bellwire.Circuits.Shapes;

/// <summary>A rail of a built supply.</summary>
/// <param name="Name">Also the name of its node and of its test point.</param>
/// <param name="Negative">True when it stands below common.</param>
/// <param name="MeantVolts">What it is regulated to, V with its sign; null where nothing regulates it.</param>
public sealed record SupplyRail(string Name, bool Negative, double? MeantVolts);

/// <summary>A supply as a circuit.</summary>
/// <param name="Netlist">Common is the node <c>0</c>; a rail's node has its name.</param>
/// <param name="Points">Where a probe goes: <c>ac</c> (with a tap also <c>ac-a</c> and <c>ac-b</c>, each end to the tap), <c>fuse</c> (across it, where it is not at line voltage),
/// <c>raw</c>, each rail, and inside a stage <c>rail-ref</c> or <c>rail-adj</c>. Nothing at line voltage.</param>
/// <param name="LineSource">Name of the source of line volts.</param>
/// <param name="Rails">Raw first.</param>
/// <param name="Parts">Every part but the source and what it is there for.</param>
public sealed record SupplyCircuit(Netlist Netlist, ImmutableArray<TestPoint> Points, string LineSource, ImmutableArray<SupplyRail> Rails, ImmutableArray<ShapePart> Parts)
{
    /// <summary>The line volts the shape was read at, RMS.</summary>
    public double LineVolts => ((Sine)((VoltageSource)Netlist[LineSource]).Waveform).Rms;

    /// <summary>Line frequency.</summary>
    public double LineHertz => ((Sine)((VoltageSource)Netlist[LineSource]).Waveform).Hertz;

    /// <summary>The same supply fed with other line volts: for readings beside which the feed was read.</summary>
    /// <param name="volts">RMS, above 0.</param>
    /// <param name="tolerance">How well that is known, relative.</param>
    public SupplyCircuit AtLine(double volts, double tolerance = 0)
    {
        Ranged.Positive(volts, "line volts");
        Ranged.Within(tolerance, 0, 0.99, "tolerance");
        var source = (VoltageSource)Netlist[LineSource];
        return this with { Netlist = Netlist.Replace(LineSource, source with { Waveform = (Sine)source.Waveform with { Rms = volts }, Tolerance = tolerance }) };
    }

    /// <summary>The test point of that name.</summary>
    /// <exception cref="ArgumentException">There is none.</exception>
    public TestPoint Point(string name) => Points.FirstOrDefault(p => p.Name == name)
        ?? throw new ArgumentException($"No test point is called {name}; there are {string.Join(", ", Points.Select(p => p.Name))}.", nameof(name));
}
