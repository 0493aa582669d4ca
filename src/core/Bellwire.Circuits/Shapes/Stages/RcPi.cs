namespace Bellwire.Circuits.Shapes;

/// <summary>A resistor and a second reservoir: with the first one a pi.</summary>
/// <param name="Ohms">0.1 Ω to 1 MΩ.</param>
/// <param name="Farads">Of the second reservoir; see <see cref="Stage.Output"/> for its marking in full.</param>
public sealed record RcPi(string Rail, double Ohms, double Farads) : Stage(Rail)
{
    /// <summary>Rating of the resistor, W; null when not read.</summary>
    public double? Watts { get; init; }

    public override string Words => "RC filter";

    internal override void Build(PartMaker make, string input, string output, bool negative)
    {
        make.Resistor(input, output, Ohms, Watts, $"filter resistor of {Rail}");
        make.Capacitor(Output ?? new(Farads), output, Netlist.Ground, negative, $"filter capacitor of {Rail}");
    }

    internal override void Check(Checks on)
    {
        base.Check(on);
        on.Range("Ohms", Ohms, 0.1, 1e6, "Ω");
        if (Output is null) new CapacitorAsRead(Farads).Check(on);
        on.Range("Watts", Watts, 0.05, 500, "W");
    }
}
