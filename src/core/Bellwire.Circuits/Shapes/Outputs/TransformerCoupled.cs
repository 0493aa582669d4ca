namespace Bellwire.Circuits.Shapes;

/// <summary>
/// Two like transistors in class AB between a driver transformer and an output transformer with a tapped primary: no mid-point, the
/// collectors stand near the rail. A bias diode (or thermistor) holds the bases; both emitters share a resistor.
/// </summary>
public sealed record TransformerCoupled(double RailVolts) : OutputStage(RailVolts)
{
    /// <summary>Shared by both, Ω, 0.1 to 100.</summary>
    public double EmitterOhms { get; init; } = 1;

    /// <summary>Wire of one half of the output transformer's primary, Ω.</summary>
    public double HalfPrimaryOhms { get; init; } = 2;

    /// <summary>Load from collector to collector, Ω; with the speaker it gives the ratio of turns.</summary>
    public double CollectorLoadOhms { get; init; } = 120;
    public TransistorAsRead Output { get; init; } = new() { SaturationAmperes = 1e-13, Beta = 80 };
    public TransistorAsRead Driver { get; init; } = new() { SaturationAmperes = 1e-14, Beta = 120 };

    /// <summary>Standing current of the driver, A.</summary>
    public double DriveAmperes { get; init; } = 4e-3;

    /// <summary>Through the bias diode, A.</summary>
    public double BiasAmperes { get; init; } = 5e-3;

    private protected override void Build(PartMaker make, string rail, bool negative)
    {
        const string Common = Netlist.Ground;
        // The driver: an eighth of the rail, at most 1.5 V, on its emitter resistor, ten base currents down the divider (common practice, no source).
        var foot = Math.Min(1.5, RailVolts / 8);
        var (held, into) = (BaseVolts(Driver, DriveAmperes, RailVolts - foot) + foot, DriveAmperes / Driver.Beta);
        make.Add("C", n => new Capacitor(n, "amp-in", "amp-base", 10e-6, 1) { Tolerance = 0.2 }, "input coupling capacitor");
        make.Resistor(rail, "amp-base", (RailVolts - held) / (11 * into), null, "upper base resistor of the driver");
        make.Resistor("amp-base", Common, held / (10 * into), null, "lower base resistor of the driver");
        make.Resistor("amp-driver", Common, foot / DriveAmperes, null, "emitter resistor of the driver");
        make.Capacitor(new(100e-6), "amp-driver", Common, negative, "emitter capacitor of the driver");
        make.Add("Q", n => Driver.Part(n, "amp-c", "amp-base", "amp-driver", npn: !negative), "driver");
        // 2 : 1 + 1 with a few ohms of wire: the usual little driver transformer (common practice, no source).
        make.Add("T", n => new Transformer(n, [rail, "amp-c", "amp-b1", "amp-bias", "amp-bias", "amp-b2"], [new(2, 80), new(1, 15), new(1, 15)], 3), "driver transformer");

        // Both emitter currents pass the shared resistor.
        var baseCurrent = 2 * IdleAmperes / Output.Beta;
        var level = BaseVolts(Output, IdleAmperes, RailVolts) + 2 * IdleAmperes * EmitterOhms + IdleAmperes / Output.Beta * 15;
        make.Resistor(rail, "amp-bias", (RailVolts - level) / (BiasAmperes + baseCurrent), null, "bias resistor");
        var isat = BiasDiode(level, BiasAmperes);
        make.Add("D", n => negative ? new Diode(n, Common, "amp-bias", isat, 1, BiasDiodeOhms) : new Diode(n, "amp-bias", Common, isat, 1, BiasDiodeOhms), "bias diode");
        make.Add("Q", n => Output.Part(n, "amp-a", "amp-b1", "amp-e", npn: !negative), "output transistor, first half");
        make.Add("Q", n => Output.Part(n, "amp-b", "amp-b2", "amp-e", npn: !negative), "output transistor, second half");
        make.Resistor("amp-e", Common, EmitterOhms, null, "shared emitter resistor");
        var turns = Math.Sqrt(SpeakerOhms / CollectorLoadOhms) * 2; // of the secondary, a half of the primary being 1
        make.Add("T", n => new Transformer(n, ["amp-a", rail, rail, "amp-b", "amp-out", Common], [new(1, HalfPrimaryOhms), new(1, HalfPrimaryOhms), new(turns, 0.05 * SpeakerOhms)], 0.3), "output transformer");
        Speaker(make, "amp-out");

        make.Point("amp-bias", "amp-bias");
        make.Point("amp-up", "amp-e");
        make.Point("amp-a", "amp-a");
        make.Point("amp-b", "amp-b");
        make.Point("amp-driver", "amp-driver");
        make.Point("amp-out", "amp-out");
    }

    private protected override void Check(Checks on)
    {
        base.Check(on);
        on.Range("EmitterOhms", EmitterOhms, 0.1, 100, "Ω");
        on.Range("HalfPrimaryOhms", HalfPrimaryOhms, 0.05, 200, "Ω");
        on.Range("CollectorLoadOhms", CollectorLoadOhms, 4, 10_000, "Ω");
        on.Range("DriveAmperes", DriveAmperes, 1e-4, 0.5, "A");
        on.Range("BiasAmperes", BiasAmperes, 1e-4, 0.5, "A");
        Output.Check(on.At("Output"));
        Driver.Check(on.At("Driver"));
        if (2 * IdleAmperes * EmitterOhms > RailVolts / 4) on.Say("IdleAmperes", $"Twice the idle current through {ShapeJudge.N(EmitterOhms)} Ω drops more than a quarter of the rail.");
    }
}
