namespace Bellwire.Circuits;

/// <summary>A source that gives more or less than it should: the feed off, a foreign feed, a line that sags.</summary>
/// <param name="Factor">Volts or amperes now over those stated, 0 or more; 0 is off.</param>
public sealed record Fed(string Part, double Factor) : Fault(Part)
{
    public override string Words => Factor == 0 ? $"{Part} off" : FormattableString.Invariant($"{Part} at {Factor * 100:0.#} %");

    public override Netlist Apply(Netlist netlist)
    {
        Ranged.NotNegative(Factor, "feed factor");
        return netlist.Replace(Part, netlist[Part] switch
        {
            VoltageSource v => v with { Waveform = VoltageSource.Scaled(v.Waveform, Factor) },
            CurrentSource i => i with { Waveform = VoltageSource.Scaled(i.Waveform, Factor) },
            var d => throw new ArgumentException($"{Part} is a {d.GetType().Name}; only sources can be off or give more or less.", nameof(netlist)),
        });
    }
}
