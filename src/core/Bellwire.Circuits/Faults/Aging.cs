namespace Bellwire.Circuits;

/// <summary>A value that has wandered: a carbon resistor gone high, a zener or regulator off its volts.</summary>
/// <param name="Factor">New value over marked value, above 0.</param>
public sealed record Drifted(string Part, double Factor) : Fault(Part)
{
    public override string Words => FormattableString.Invariant($"{Part} drifted to {Factor * 100:0.#} %");

    public override Netlist Apply(Netlist netlist)
    {
        Ranged.Positive(Factor, "drift factor");
        return netlist.Replace(Part, netlist[Part] switch
        {
            Resistor r => r with { Ohms = r.Ohms * Factor },
            Potentiometer p => p with { Ohms = p.Ohms * Factor },
            Capacitor c => c with { Farads = c.Farads * Factor },
            Inductor l => l with { Henries = l.Henries * Factor },
            Zener z => z with { Volts = z.Volts * Factor },
            Regulator u => u with { Volts = u.Volts * Factor },
            SeleniumStack s => s with { AgeOhmsFactor = s.AgeOhmsFactor * Factor },
            var d => throw new ArgumentException($"{Part} is a {d.GetType().Name}; resistors, potentiometers, capacitors, coils, zeners, regulators and selenium stacks drift.", nameof(netlist)),
        });
    }
}

/// <summary>An electrolytic that has lost its water: little capacitance, much series resistance.</summary>
/// <param name="ShareLeft">Capacitance left, 0…1.</param>
/// <param name="SeriesOhms">ESR now, Ω.</param>
public sealed record DriedOut(string Part, double ShareLeft = 0.1, double SeriesOhms = 3) : Fault(Part)
{
    public override string Words => FormattableString.Invariant($"{Part} dried out to {ShareLeft * 100:0.#} % and {SeriesOhms:g3} Ω");

    public override Netlist Apply(Netlist netlist)
    {
        var c = Find<Capacitor>(netlist, "capacitors");
        return netlist.Replace(Part, c with { Farads = c.Farads * Ranged.Positive(ShareLeft, "share left"), SeriesOhms = SeriesOhms });
    }
}

/// <summary>An amplifying part that has lost gain.</summary>
/// <param name="Factor">Gain left, above 0.</param>
public sealed record LowGain(string Part, double Factor = 0.2) : Fault(Part)
{
    public override string Words => FormattableString.Invariant($"{Part} has {Factor * 100:0.#} % of its gain");

    public override Netlist Apply(Netlist netlist) => netlist.Replace(Part, netlist[Part] switch
    {
        BipolarTransistor t => t with { Beta = t.Beta * Factor },
        Mosfet m => m with { Factor = m.Factor * Factor },
        OpAmp a => a with { Gain = a.Gain * Factor, UnityHertz = a.UnityHertz * Factor },
        var d => throw new ArgumentException($"{Part} is a {d.GetType().Name}; transistors and op-amps have gain to lose.", nameof(netlist)),
    });
}
