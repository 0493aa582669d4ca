namespace Bellwire.Circuits.Shapes;

/// <summary>A zener as it is marked.</summary>
/// <param name="Volts">1.8 to 200 V.</param>
/// <param name="Watts">Rating, 0.2 to 50 W.</param>
public sealed record ZenerAsRead(double Volts, double Watts = 1)
{
    /// <summary>A; null takes a quarter of the rated power, as the 1 W and 5 W series do.</summary>
    public double? TestAmperes { get; init; }

    /// <summary>Ω at the test current; null takes <see cref="Markings.UsualZenerOhms"/>.</summary>
    public double? DynamicOhms { get; init; }

    /// <summary>Relative; 5 % is suffix A.</summary>
    public double Tolerance { get; init; } = 0.05;

    internal Zener Part(string name, string anode, string cathode) =>
        new(name, anode, cathode, Volts, TestAmperes ?? 0.25 * Watts / Volts, DynamicOhms ?? Markings.UsualZenerOhms(Volts, Watts), Tolerance) { Ratings = new(Watts: Watts) };

    internal void Check(Checks on)
    {
        on.Range("Volts", Volts, 1.8, 200, "V");
        on.Range("Watts", Watts, 0.2, 50, "W");
        on.Range("TestAmperes", TestAmperes, 1e-5, 5, "A");
        on.Range("DynamicOhms", DynamicOhms, 0.1, 2000, "Ω");
        on.Range("Tolerance", Tolerance, 0, 0.5);
    }
}

/// <summary>A dropping resistor with a zener across the rail.</summary>
/// <param name="Ohms">Dropping resistor, 1 Ω to 1 MΩ.</param>
public sealed record ZenerShunt(string Rail, double Ohms, ZenerAsRead Zener) : Stage(Rail)
{
    /// <param name="volts">Of the zener.</param>
    /// <param name="watts">Rating of the zener.</param>
    public ZenerShunt(string rail, double ohms, double volts, double watts = 1) : this(rail, ohms, new ZenerAsRead(volts, watts)) { }

    /// <summary>Rating of the resistor, W; null when not read.</summary>
    public double? Watts { get; init; }

    public override double? MeantVolts => Zener.Volts;
    public override string Words => "zener";

    internal override void Build(PartMaker make, string input, string output, bool negative)
    {
        make.Resistor(input, output, Ohms, Watts, $"dropping resistor of {Rail}");
        make.Zener(Zener, output, negative, $"zener of {Rail}");
        OutputCapacitor(make, output, negative);
    }

    internal override void Check(Checks on)
    {
        base.Check(on);
        on.Range("Ohms", Ohms, 1, 1e6, "Ω");
        on.Range("Watts", Watts, 0.05, 500, "W");
        Zener.Check(on.At("Zener"));
    }
}
