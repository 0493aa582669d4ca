using System.Collections.Immutable;
using Bellwire.Circuits;
using Bellwire.Reasoning;

namespace Bellwire.Sheets;

/// <summary>A circuit of the set as far as readings are predicted from it: parts, where probes go, what can be wrong with it.</summary>
/// <param name="Netlist">Without complaints; ground is what the sheet calls common.</param>
/// <param name="LineHertz">Above 0.</param>
/// <param name="Points">Points of the sheet that stand in this circuit; none where it is there for its terminals.</param>
/// <param name="Troubles">In the order of the sheet; their words are unique.</param>
/// <param name="Beyond">Where the circuit says nothing: an unknown fault of a piece it runs through, and what the sheet adds; null when never.</param>
/// <param name="Feeds">Values of the condition feed under which the circuit holds.</param>
public sealed record CircuitSpec(
    string Id, string Words, Netlist Netlist, double LineHertz, ImmutableArray<CircuitPoint> Points,
    ImmutableArray<CircuitTrouble> Troubles, Condition? Beyond, ImmutableArray<string> Feeds)
{
    /// <summary>Pairs of nodes that wires of the house end on, in the order of the sheet; ids are unique.</summary>
    public ImmutableArray<CircuitTerminal> Terminals { get; init; } = [];

    /// <summary>The feed without power.</summary>
    public const string Off = "off";

    /// <summary>True when the circuit is read by an ohmmeter with the power away.</summary>
    public bool Unpowered => Feeds is [Off];
}

/// <summary>Two nodes of a circuit that a foreign source may be tied to.</summary>
/// <param name="Id">A terminal of the sheet, or a name of the circuit's own.</param>
/// <param name="From">Node of the source's plus.</param>
/// <param name="To">Node of its minus; differs from <paramref name="From"/>.</param>
public sealed record CircuitTerminal(string Id, string From, string To);

/// <summary>A point of the sheet in the circuit.</summary>
/// <param name="Point">Id of the sheet's point; its quantity says what is read there.</param>
/// <param name="Ohms">For amperes: the resistor whose volts are read, Ω; 1 otherwise.</param>
public sealed record CircuitPoint(string Point, string Node, string Against, double Ohms = 1);

/// <summary>One trouble as the circuit sees it.</summary>
/// <param name="Words">The sentence before "when".</param>
/// <param name="Variants">What it may be, each as likely as any other; every one a set of faults put in together.</param>
public sealed record CircuitTrouble(string Words, Condition When, ImmutableArray<ImmutableArray<Fault>> Variants);
