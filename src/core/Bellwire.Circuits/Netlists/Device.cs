using System.Collections.Immutable;
using Bellwire.Circuits.Solving;
using Bellwire.Circuits.Tolerances;

namespace Bellwire.Circuits;

/// <summary>
/// The description of one part: a name, the nodes its pins are tied to, its values. It never changes; a fault or a
/// tolerance draw makes another one. What it does to the equations is told once, in <see cref="Install"/>, in terms
/// of a few elements (<see cref="Assembly"/>) that every analysis understands.
/// </summary>
public abstract record Device
{
    /// <param name="name">Unique within the netlist: <c>R12</c>.</param>
    /// <param name="nodes">One node a pin, in the order of <see cref="Pins"/>; ground is <c>0</c>.</param>
    protected Device(string name, params ImmutableArray<string> nodes)
    {
        ArgumentException.ThrowIfNullOrWhiteSpace(name);
        foreach (var node in nodes) ArgumentException.ThrowIfNullOrWhiteSpace(node, name);
        (Name, Nodes) = (name, nodes);
    }

    public string Name { get; init; }
    public ImmutableArray<string> Nodes { get; init; }

    /// <summary>What the part may bear; null when nobody said.</summary>
    public Ratings? Ratings { get; init; }

    /// <summary>The words for the pins, in the order of <see cref="Nodes"/>.</summary>
    public abstract ImmutableArray<string> Pins { get; }

    /// <summary>Pairs of pins between which direct current can pass; used to find floating nodes.</summary>
    public virtual IEnumerable<(int From, int To)> DirectPaths => Enumerable.Range(1, Nodes.Length - 1).Select(pin => (0, pin));

    /// <summary>True for a source without resistance: two of them must not close a loop.</summary>
    public virtual bool IsIdealVoltage => false;

    /// <summary>The faults worth asking about when nobody says more: one list entry each. Sources have none.</summary>
    public virtual IEnumerable<Fault> UsualFaults => [];

    /// <summary>The same part with its values drawn within their tolerances.</summary>
    public virtual Device Drawn(Draw draw) => this;

    /// <summary>The same part with one pin on another node.</summary>
    /// <exception cref="ArgumentOutOfRangeException">No such pin.</exception>
    public Device Moved(int pin, string node)
    {
        if (pin < 0 || pin >= Nodes.Length) throw new ArgumentOutOfRangeException(nameof(pin), pin, $"{Name} has pins 0 to {Nodes.Length - 1}.");
        return this with { Nodes = Nodes.SetItem(pin, node) };
    }

    internal abstract void Install(Assembly into);

    /// <summary>The same part for another simulator, its capacitors and coils in the order of <see cref="Install"/>.</summary>
    internal abstract void Export(SpiceText t);
}

/// <summary>A part with two pins.</summary>
public abstract record TwoTerminal : Device
{
    protected TwoTerminal(string name, string a, string b) : base(name, a, b) { }
    public override ImmutableArray<string> Pins => ["a", "b"];
}
