namespace Bellwire.Circuits;

/// <summary>A regulator whose pass element has fused: the raw volts stand on the rail.</summary>
public sealed record RegulatorThrough(string Part, double Ohms = 0.1) : Fault(Part)
{
    public override string Words => $"{Part} shorted through";
    public override Netlist Apply(Netlist netlist)
    {
        Find<Regulator>(netlist, "regulators");
        return Beside(netlist, 0, 1, Ohms, "through");
    }
}

/// <summary>A regulator that passes nothing and takes nothing.</summary>
public sealed record RegulatorOpen(string Part) : Fault(Part)
{
    public override string Words => $"{Part} open";
    public override Netlist Apply(Netlist netlist)
    {
        var u = Find<Regulator>(netlist, "regulators");
        return netlist.Replace(Part, new Resistor(Part, u.Nodes[0], u.Nodes[1], BrokenOhms), new Resistor(netlist.FreshName($"{Part}#open"), u.Nodes[1], u.Nodes[2], BrokenOhms));
    }
}

/// <summary>A regulator that lives on its input but puts nothing out.</summary>
public sealed record RegulatorNoOutput(string Part) : Fault(Part)
{
    public override string Words => $"{Part} has no output";
    public override Netlist Apply(Netlist netlist)
    {
        Find<Regulator>(netlist, "regulators");
        return InSeries(netlist, 1, BrokenOhms, "silent");
    }
}

/// <summary>A regulator whose common pin has come off: the output climbs to the input less the dropout.</summary>
public sealed record RegulatorCommonOpen(string Part) : Fault(Part)
{
    public override string Words => $"{Part} has lost its common pin";
    public override Netlist Apply(Netlist netlist)
    {
        Find<Regulator>(netlist, "regulators");
        return InSeries(netlist, 2, 1e6, "common");
    }
}
