namespace Bellwire.Circuits;

/// <summary>
/// What can go wrong with a part, as a change from one netlist to another. Faults compose: apply one after another.
/// A new kind is one record in one file; a part offers it in <see cref="Device.UsualFaults"/>.
/// </summary>
public abstract record Fault(string Part)
{
    /// <summary>Insulation of a broken path, Ω.</summary>
    public const double BrokenOhms = 1e9;

    /// <summary>In the technician's words: <c>C1 dried out</c>.</summary>
    public abstract string Words { get; }

    /// <exception cref="ArgumentException">No such part, or not of a kind that can have this fault.</exception>
    public abstract Netlist Apply(Netlist netlist);

    protected T Find<T>(Netlist netlist, string kind) where T : Device => netlist[Part] as T
        ?? throw new ArgumentException($"{Part} is a {netlist[Part].GetType().Name}; this fault belongs to {kind}.", nameof(netlist));

    /// <summary>A resistance between a pin and what it was tied to.</summary>
    protected Netlist InSeries(Netlist netlist, int pin, double ohms, string mark)
    {
        var part = netlist[Part];
        if (pin < 0 || pin >= part.Nodes.Length) throw new ArgumentOutOfRangeException(nameof(pin), pin, $"{Part} has pins 0 to {part.Nodes.Length - 1}.");
        var node = netlist.FreshNode($"{Part}.{pin}");
        return netlist.Replace(Part, part.Moved(pin, node), new Resistor(netlist.FreshName($"{Part}#{mark}"), part.Nodes[pin], node, ohms));
    }

    /// <summary>A resistance beside two pins.</summary>
    protected Netlist Beside(Netlist netlist, int from, int to, double ohms, string mark)
    {
        var part = netlist[Part];
        return netlist.With(new Resistor(netlist.FreshName($"{Part}#{mark}"), part.Nodes[from], part.Nodes[to], ohms));
    }

    protected string PinWords(Netlist netlist, int pin) => netlist[Part].Pins[pin];
}
