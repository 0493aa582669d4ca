namespace Bellwire.Circuits.Solving;

/// <summary>A place where an element is tied: the unknown there, and which pin of its part that is (−1: inside the part).</summary>
internal readonly record struct Terminal(int Node, int Pin);

/// <summary>A netlist turned into numbered unknowns and elements. Ground is the last slot, always 0.</summary>
internal sealed class Assembly
{
    private readonly Dictionary<string, int> _index = [];
    private readonly List<string> _names = [];
    private readonly List<Branch> _branches = [];
    private readonly List<Nonlinear> _nonlinears = [];
    private const int GroundMark = int.MaxValue;
    private Device? _installing;

    /// <exception cref="ArgumentException">The wiring has complaints.</exception>
    public Assembly(Netlist netlist)
    {
        Netlist = netlist;
        Wiring.Demand(netlist);
        foreach (var node in netlist.Nodes) if (node != Netlist.Ground) Unknown(node);
        foreach (var d in netlist.Devices)
        {
            _installing = d;
            d.Install(this);
        }
        foreach (var nodes in _branches.Select(b => b.Nodes).Concat(_nonlinears.Select(e => e.Nodes)))
            for (var k = 0; k < nodes.Length; k++) if (nodes[k] == GroundMark) nodes[k] = _names.Count;
        Branches = [.. _branches];
        Nonlinears = [.. _nonlinears];
        Names = [.. _names];
        Memory = Nonlinears.Sum(e => e.Memory);
    }

    public Netlist Netlist { get; }
    public Branch[] Branches { get; }
    public Nonlinear[] Nonlinears { get; }
    public string[] Names { get; }
    public int Count => Names.Length;

    /// <summary>How many numbers the nonlinear elements remember between iterations.</summary>
    public int Memory { get; }

    /// <summary>The number of a node; ground is <see cref="Count"/>.</summary>
    /// <exception cref="ArgumentException">No such node.</exception>
    public int IndexOf(string node) => node == Netlist.Ground ? Count : _index.TryGetValue(node, out var i) ? i
        : throw new ArgumentException($"There is no node {node}; there are {string.Join(", ", Netlist.Nodes)}.", nameof(node));

    /// <summary>Pin k of the part being installed.</summary>
    public Terminal Pin(int k)
    {
        var node = _installing!.Nodes[k];
        return new(node == Netlist.Ground ? GroundMark : _index[node], k);
    }

    /// <summary>The reference of things inside a part: heat, flux.</summary>
    public Terminal Ground => new(GroundMark, -1);

    /// <summary>An unknown inside a part: a core's volts per turn, a filament's heat, a source's current.</summary>
    public Terminal Unknown(string name)
    {
        _index.Add(name, _names.Count);
        _names.Add(name);
        return new(_names.Count - 1, -1);
    }

    public void Resistive(string device, Terminal a, Terminal b, double ohms, Waveform? source = null) =>
        _branches.Add(new(BranchKind.Resistive, device, [a, b], [1, -1]) { Ohms = ohms, Source = source });

    public void Capacitive(string device, Terminal a, Terminal b, double farads, double ohms) =>
        _branches.Add(new(BranchKind.Capacitive, device, [a, b], [1, -1]) { Ohms = ohms, Value = farads });

    public void Inductive(string device, Terminal a, Terminal b, double henries, double ohms) =>
        _branches.Add(new(BranchKind.Inductive, device, [a, b], [1, -1]) { Ohms = ohms, Value = henries });

    public void Winding(string device, Terminal a, Terminal b, Terminal core, double turns, double ohms, double leakageHenries) =>
        _branches.Add(new(leakageHenries > 0 ? BranchKind.Inductive : BranchKind.Resistive, device, [a, b, core], [1, -1, -turns]) { Ohms = ohms, Value = leakageHenries });

    public void Ideal(string device, Terminal a, Terminal b, Waveform source) =>
        _branches.Add(new(BranchKind.Ideal, device, [a, b], [1, -1]) { Source = source, Row = Unknown($"{device}#i").Node });

    public void Injected(string device, Terminal a, Terminal b, Waveform source) =>
        _branches.Add(new(BranchKind.Injected, device, [a, b], [1, -1]) { Source = source });

    public void Add(Nonlinear element) => _nonlinears.Add(element);
}
