namespace Bellwire.Circuits.Shapes;

/// <summary>A pass transistor as it is marked.</summary>
public sealed record TransistorAsRead
{
    /// <summary>Current gain at the working current, 5 to 5000.</summary>
    public double Beta { get; init; } = 60;

    /// <summary>Factor by which it spreads between specimens, 1 to 10.</summary>
    public double BetaSpread { get; init; } = 2;

    /// <summary>A; 1e-12 stands for 0.67 V at 0.2 A.</summary>
    public double SaturationAmperes { get; init; } = 1e-12;

    /// <summary>V; infinite for none.</summary>
    public double EarlyVolts { get; init; } = 100;
    public double? CollectorVolts { get; init; }
    public double? CollectorAmperes { get; init; }

    /// <summary>On the sink it has, W; null when not known.</summary>
    public double? Watts { get; init; }

    internal BipolarTransistor Part(string name, string collector, string @base, string emitter, bool npn) => new(name, collector, @base, emitter, npn, Beta, SaturationAmperes, EarlyVolts)
    {
        BetaSpread = BetaSpread,
        Ratings = CollectorVolts is null && CollectorAmperes is null && Watts is null ? null : new(CollectorVolts, CollectorAmperes, Watts),
    };

    internal void Check(Checks on)
    {
        on.Range("Beta", Beta, 5, 5000);
        on.Range("BetaSpread", BetaSpread, 1, 10);
        on.Range("SaturationAmperes", SaturationAmperes, 1e-18, 1e-3, "A");
        on.Range("EarlyVolts", EarlyVolts, 1, double.PositiveInfinity, "V");
        on.Range("CollectorVolts", CollectorVolts, 5, 2000, "V");
        on.Range("CollectorAmperes", CollectorAmperes, 0.01, 100, "A");
        on.Range("Watts", Watts, 0.1, 500, "W");
    }
}

/// <summary>An emitter follower with its base held by a zener: the rail stands a junction below the zener.</summary>
/// <param name="BiasOhms">From the feeding rail to base and zener, 1 Ω to 1 MΩ.</param>
public sealed record PassTransistor(string Rail, double BiasOhms, ZenerAsRead Zener) : Stage(Rail)
{
    /// <param name="zenerVolts">Of the zener; the rail is about 0.7 V less.</param>
    public PassTransistor(string rail, double biasOhms, double zenerVolts, double zenerWatts = 1) : this(rail, biasOhms, new ZenerAsRead(zenerVolts, zenerWatts)) { }

    public TransistorAsRead Transistor { get; init; } = new();

    /// <summary>Beside the zener; null for none.</summary>
    public CapacitorAsRead? Base { get; init; }

    public override double? MeantVolts => Zener.Volts - 0.7;
    public override string Words => "pass transistor";

    internal override void Build(PartMaker make, string input, string output, bool negative)
    {
        var held = make.Node($"{Rail}-ref");
        make.Resistor(input, held, BiasOhms, null, $"bias resistor of {Rail}");
        make.Zener(Zener, held, negative, $"zener of {Rail}");
        if (Base is { } c) make.Capacitor(c, held, Netlist.Ground, negative, $"base capacitor of {Rail}");
        make.Add("Q", name => Transistor.Part(name, input, held, output, npn: !negative), $"pass transistor of {Rail}");
        OutputCapacitor(make, output, negative);
        make.Point(held, held);
    }

    internal override void Check(Checks on)
    {
        base.Check(on);
        on.Range("BiasOhms", BiasOhms, 1, 1e6, "Ω");
        Zener.Check(on.At("Zener"));
        Transistor.Check(on.At("Transistor"));
        Base?.Check(on.At("Base"));
    }
}
