namespace Bellwire.Circuits;

/// <summary>Broken inside, or a pin that makes no contact: no current passes. A part with two pins is open as a whole.</summary>
/// <param name="Pin">Which pin, for parts with more than two.</param>
public sealed record Open(string Part, int Pin = 0) : Fault(Part)
{
    public override string Words => Pin == 0 ? $"{Part} open" : $"{Part} open at pin {Pin + 1}";

    public override Netlist Apply(Netlist netlist) => netlist[Part] is TwoTerminal t
        ? netlist.Replace(Part, new Resistor(Part, t.Nodes[0], t.Nodes[1], BrokenOhms))
        : InSeries(netlist, Pin, BrokenOhms, "open");
}

/// <summary>Two pins joined inside the part.</summary>
/// <param name="Ohms">What is left of resistance, Ω, above 0.</param>
public sealed record Shorted(string Part, int From = 0, int To = 1, double Ohms = 0.02) : Fault(Part)
{
    public override string Words => From == 0 && To == 1 ? $"{Part} shorted" : $"{Part} shorted between pins {From + 1} and {To + 1}";

    public override Netlist Apply(Netlist netlist) => netlist[Part] is TwoTerminal t and not VoltageSource
        ? netlist.Replace(Part, new Resistor(Part, t.Nodes[0], t.Nodes[1], Ohms))
        : Beside(netlist, From, To, Ohms, "short");
}

/// <summary>A leakage beside the part: a capacitor, a junction, flux and dirt between pins.</summary>
/// <param name="Ohms">Leakage, Ω, above 0.</param>
public sealed record Leaky(string Part, double Ohms, int From = 0, int To = 1) : Fault(Part)
{
    public override string Words => FormattableString.Invariant($"{Part} leaky, {Ohms:g3} Ω");
    public override Netlist Apply(Netlist netlist) => Beside(netlist, From, To, Ohms, "leak");
}

/// <summary>A contact that has grown resistance: tarnish, a loose pin.</summary>
/// <param name="Ohms">Ω, above 0.</param>
public sealed record ContactResistance(string Part, double Ohms, int Pin = 0) : Fault(Part)
{
    public override string Words => FormattableString.Invariant($"contact at {Part} has {Ohms:g3} Ω");
    public override Netlist Apply(Netlist netlist) => InSeries(netlist, Pin, Ohms, "contact");
}

/// <summary>A cracked joint: it holds while cold and parts when the set has warmed.</summary>
/// <param name="Warm">Whether the set is warm in the situation asked about.</param>
/// <param name="WarmOhms">What is left of the contact when warm, Ω.</param>
public sealed record CrackedJoint(string Part, int Pin = 0, bool Warm = true, double WarmOhms = Fault.BrokenOhms) : Fault(Part)
{
    public override string Words => $"cracked joint at {Part}, {(Warm ? "warm" : "cold")}";

    // A capacitor behind a gap of a gigohm would take weeks to settle; it is as good as gone.
    public override Netlist Apply(Netlist netlist) => !Warm ? InSeries(netlist, Pin, 0.05, "joint")
        : WarmOhms >= BrokenOhms && netlist[Part] is TwoTerminal ? new Open(Part).Apply(netlist)
        : InSeries(netlist, Pin, WarmOhms, "joint");
}
