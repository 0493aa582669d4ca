namespace Bellwire.Circuits.Shapes;

/// <summary>
/// A complementary pair in class AB on one rail, with output capacitor: a driver with direct feedback from the mid-point, two bias
/// diodes between the bases, emitter resistors. The driver's load is in two halves with a bootstrap capacitor.
/// </summary>
public sealed record ComplementaryPair(double RailVolts) : OutputStage(RailVolts)
{
    /// <summary>Each, Ω, 0.01 to 10.</summary>
    public double EmitterOhms { get; init; } = 0.47;

    /// <summary>Both of the pair.</summary>
    public TransistorAsRead Output { get; init; } = new() { SaturationAmperes = 1e-13, Beta = 80 };
    public TransistorAsRead Driver { get; init; } = new() { SaturationAmperes = 1e-14, Beta = 120 };

    /// <summary>Standing current of the driver, A; null takes what the pair's bases need at full swing, 1 to 50 mA.</summary>
    public double? DriveAmperes { get; init; }

    public CapacitorAsRead OutputCapacitor { get; init; } = new(470e-6);

    private double Drive => DriveAmperes ?? Math.Clamp(RailVolts / 2 / SpeakerOhms / Output.Beta, 1e-3, 50e-3);

    private protected override void Build(PartMaker make, string rail, bool negative)
    {
        var (half, drive) = (RailVolts / 2, Drive);
        // Direct feedback: ten times the driver's base current down the divider (common practice, no source).
        var (held, into) = (BaseVolts(Driver, drive, half), drive / Driver.Beta);
        make.Add("C", n => new Capacitor(n, "amp-in", "amp-base", 10e-6, 1) { Tolerance = 0.2 }, "input coupling capacitor");
        make.Resistor("amp-half", "amp-base", (half - held) / (11 * into), null, "feedback resistor from the mid-point");
        make.Resistor("amp-base", Netlist.Ground, held / (10 * into), null, "base resistor of the driver");
        make.Add("Q", n => Driver.Part(n, "amp-driver", "amp-base", Netlist.Ground, npn: !negative), "driver");

        var above = BaseVolts(Output, IdleAmperes, half) + IdleAmperes * EmitterOhms; // of a base over the mid-point
        var load = (half - above) / drive / 2;
        make.Resistor(rail, "amp-boot", load, null, "driver load, rail side");
        make.Resistor("amp-boot", "amp-top", load, null, "driver load, base side");
        make.Capacitor(new(100e-6), "amp-boot", "amp-half", negative, "bootstrap capacitor");
        var isat = BiasDiode(above, drive);
        foreach (var (from, to, words) in new[] { ("amp-top", "amp-joint", "upper bias diode"), ("amp-joint", "amp-driver", "lower bias diode") })
            make.Add("D", n => negative ? new Diode(n, to, from, isat, 1, BiasDiodeOhms) : new Diode(n, from, to, isat, 1, BiasDiodeOhms), words);

        make.Add("Q", n => Output.Part(n, rail, "amp-top", "amp-e1", npn: !negative), "output transistor, rail side");
        make.Add("Q", n => Output.Part(n, Netlist.Ground, "amp-driver", "amp-e2", npn: negative), "output transistor, common side");
        make.Resistor("amp-e1", "amp-half", EmitterOhms, null, "emitter resistor, rail side");
        make.Resistor("amp-half", "amp-e2", EmitterOhms, null, "emitter resistor, common side");
        make.Capacitor(OutputCapacitor, "amp-half", "amp-out", negative, "output capacitor");
        Speaker(make, "amp-out");

        make.Point("amp-half", "amp-half");
        make.Point("amp-bias", "amp-top", "amp-driver");
        make.Point("amp-up", "amp-e1", "amp-half");
        make.Point("amp-down", "amp-half", "amp-e2");
        make.Point("amp-driver", "amp-driver");
        make.Point("amp-out", "amp-out");
    }

    private protected override void Check(Checks on)
    {
        base.Check(on);
        on.Range("EmitterOhms", EmitterOhms, 0.01, 10, "Ω");
        on.Range("DriveAmperes", DriveAmperes, 1e-5, 0.5, "A");
        Output.Check(on.At("Output"));
        Driver.Check(on.At("Driver"));
        OutputCapacitor.Check(on.At("OutputCapacitor"));
    }
}
