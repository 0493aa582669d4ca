namespace Bellwire.Circuits.Shapes;

/// <summary>A three-terminal regulator of fixed volts.</summary>
/// <param name="Volts">Regulated, size only, 1 to 60 V.</param>
/// <param name="DropoutVolts">0 to 5 V.</param>
/// <param name="LimitAmperes">Where its current limit sets in, 0.01 to 20 A.</param>
public sealed record SeriesRegulator(string Rail, double Volts, double DropoutVolts = 2, double LimitAmperes = 2.2) : Stage(Rail)
{
    /// <summary>What is left of the limit with 35 V across the part, A; it falls from 10 V on. Null for no fold-back.</summary>
    public double? FoldedAmperes { get; init; }

    /// <summary>A, 1 µA to 0.1 A.</summary>
    public double QuiescentAmperes { get; init; } = 5e-3;

    /// <summary>dB at twice line frequency, 20 to 120.</summary>
    public double RejectionDecibels { get; init; } = 73;

    /// <summary>Ω, 1 mΩ to 10 Ω.</summary>
    public double OutputOhms { get; init; } = 0.01;

    /// <summary>Relative; 4 % is the usual type.</summary>
    public double Tolerance { get; init; } = 0.04;

    /// <summary>Highest input, V, size only; null when not known.</summary>
    public double? MostInputVolts { get; init; } = 35;

    /// <summary>Whether its number says negative (79 kinds); null when the number was not read. Checked against the rail.</summary>
    public bool? MadeNegative { get; init; }

    /// <summary>Capacitor at its input; null for none.</summary>
    public CapacitorAsRead? Input { get; init; }

    public override double? MeantVolts => Volts;
    public override string Words => "regulator";

    internal override void Build(PartMaker make, string input, string output, bool negative)
    {
        if (Input is { } c) make.Capacitor(c, input, Netlist.Ground, negative, $"input capacitor of {Rail}");
        make.Add("U", name => new Regulator(name, input, output, Netlist.Ground, Volts)
        {
            Negative = negative,
            DropoutVolts = DropoutVolts,
            LimitAmperes = LimitAmperes,
            FoldedAmperes = FoldedAmperes,
            QuiescentAmperes = QuiescentAmperes,
            OutputOhms = OutputOhms,
            RejectionDecibels = RejectionDecibels,
            Tolerance = Tolerance,
            Ratings = MostInputVolts is { } v ? new(Volts: v) : null,
        }, $"regulator of {Rail}");
        OutputCapacitor(make, output, negative);
    }

    internal override void Check(Checks on)
    {
        base.Check(on);
        on.Range("Volts", Volts, 1, 60, "V");
        on.Range("DropoutVolts", DropoutVolts, 0, 5, "V");
        on.Range("LimitAmperes", LimitAmperes, 0.01, 20, "A");
        on.Range("FoldedAmperes", FoldedAmperes, 1e-3, Math.Max(1e-3, LimitAmperes), "A");
        on.Range("QuiescentAmperes", QuiescentAmperes, 1e-6, 0.1, "A");
        on.Range("RejectionDecibels", RejectionDecibels, 20, 120, "dB");
        on.Range("OutputOhms", OutputOhms, 1e-3, 10, "Ω");
        on.Range("Tolerance", Tolerance, 0, 0.5);
        on.Range("MostInputVolts", MostInputVolts, 5, 200, "V");
        Input?.Check(on.At("Input"));
    }
}

/// <summary>An adjustable three-terminal regulator: 1.25 V between output and adjust, 50 µA out of the adjust pin.</summary>
/// <param name="UpperOhms">From output to adjust, 10 Ω to 10 kΩ.</param>
/// <param name="LowerOhms">From adjust to common, 1 Ω to 100 kΩ.</param>
public sealed record AdjustableRegulator(string Rail, double UpperOhms, double LowerOhms) : Stage(Rail)
{
    /// <summary>V between output and adjust.</summary>
    public const double Reference = 1.25;

    /// <summary>A out of the adjust pin.</summary>
    public const double AdjustAmperes = 50e-6;

    public double DropoutVolts { get; init; } = 2;
    public double LimitAmperes { get; init; } = 2.2;

    public override double? MeantVolts => Reference * (1 + LowerOhms / UpperOhms) + AdjustAmperes * LowerOhms;
    public override string Words => "adjustable regulator";

    internal override void Build(PartMaker make, string input, string output, bool negative)
    {
        var adjust = make.Node($"{Rail}-adj");
        make.Add("U", name => new Regulator(name, input, output, adjust, Reference)
        {
            Negative = negative,
            DropoutVolts = DropoutVolts,
            LimitAmperes = LimitAmperes,
            QuiescentAmperes = AdjustAmperes,
            RejectionDecibels = 65,
            Tolerance = 0.04,
        }, $"regulator of {Rail}");
        make.Resistor(output, adjust, UpperOhms, null, $"upper divider of {Rail}");
        make.Resistor(adjust, Netlist.Ground, LowerOhms, null, $"lower divider of {Rail}");
        OutputCapacitor(make, output, negative);
        make.Point(adjust, adjust);
    }

    internal override void Check(Checks on)
    {
        base.Check(on);
        on.Range("UpperOhms", UpperOhms, 10, 1e4, "Ω");
        on.Range("LowerOhms", LowerOhms, 1, 1e5, "Ω");
        on.Range("DropoutVolts", DropoutVolts, 0, 5, "V");
        on.Range("LimitAmperes", LimitAmperes, 0.01, 20, "A");
    }
}
