namespace Bellwire.Circuits.Shapes;

/// <summary>A power amplifier chip on one rail: its output pin stands at half of it, an output capacitor goes to the speaker.</summary>
public sealed record AmplifierChip(double RailVolts) : OutputStage(RailVolts)
{
    /// <summary>Closed-loop gain, 2 to 500.</summary>
    public double Gain { get; init; } = 50;

    /// <summary>How near the output comes to each rail, V.</summary>
    public double ShortOfRailVolts { get; init; } = 1.5;

    public CapacitorAsRead OutputCapacitor { get; init; } = new(1000e-6);

    private protected override void Build(PartMaker make, string rail, bool negative)
    {
        const string Common = Netlist.Ground;
        make.Resistor(rail, "amp-ref", 47e3, null, "upper half-rail resistor");
        make.Resistor("amp-ref", Common, 47e3, null, "lower half-rail resistor");
        make.Capacitor(new(47e-6), "amp-ref", Common, negative, "half-rail capacitor");
        make.Resistor("amp-ref", "amp-plus", 22e3, null, "input resistor");
        make.Add("C", n => new Capacitor(n, "amp-in", "amp-plus", 1e-6, 1) { Tolerance = 0.2 }, "input coupling capacitor");
        make.Add("U", n => new OpAmp(n, "amp-plus", "amp-minus", "amp-half", negative ? Common : rail, negative ? rail : Common, 2e4, 2e6)
        {
            OutputOhms = 0.3,
            ShortOfRailVolts = ShortOfRailVolts,
            QuiescentAmperes = IdleAmperes,
        }, "amplifier chip");
        make.Resistor("amp-half", "amp-minus", 22e3, null, "feedback resistor");
        make.Resistor("amp-minus", "amp-foot", 22e3 / (Gain - 1), null, "gain resistor");
        make.Capacitor(new(47e-6), "amp-foot", Common, negative, "gain capacitor");
        make.Capacitor(OutputCapacitor, "amp-half", "amp-out", negative, "output capacitor");
        Speaker(make, "amp-out");
        make.Point("amp-half", "amp-half");
        make.Point("amp-ref", "amp-ref");
        make.Point("amp-out", "amp-out");
    }

    private protected override void Check(Checks on)
    {
        base.Check(on);
        on.Range("Gain", Gain, 2, 500);
        on.Range("ShortOfRailVolts", ShortOfRailVolts, 0, RailVolts / 2, "V");
        OutputCapacitor.Check(on.At("OutputCapacitor"));
    }
}
