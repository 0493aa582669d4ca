namespace Bellwire.Circuits.Shapes;

/// <summary>An electrolytic as it is marked.</summary>
/// <param name="Farads">1 nF to 1 F.</param>
public sealed record CapacitorAsRead(double Farads)
{
    /// <summary>Series resistance, Ω; null takes <see cref="UsualEsr"/>.</summary>
    public double? EsrOhms { get; init; }

    /// <summary>Working volts of the marking; null when not read.</summary>
    public double? WorkingVolts { get; init; }

    /// <summary>Relative; 20 % is the usual marking of electrolytics.</summary>
    public double Tolerance { get; init; } = 0.2;

    /// <summary>
    /// The greatest ESR of a new part, tan δ/(2π·120 Hz·C), with tan δ of general-purpose 105 °C radials by a maker's sheet (0.02 more for
    /// each full 1000 µF above 1000 µF); 0.15 where the working volts were not read.
    /// </summary>
    public static double UsualEsr(double farads, double? workingVolts)
    {
        var row = workingVolts is not { } v ? 0.15 : Loss.LastOrDefault(l => l.Volts <= v * 1.0001, Loss[0]).TanDelta;
        return (row + 0.02 * Math.Max(0, Math.Floor((farads * 1e6 - 1000) / 1000 + 1e-9))) / (2 * Math.PI * 120 * farads);
    }

    // A maker's sheet of general-purpose 105 °C radials, 120 Hz, 20 °C.
    private static readonly (double Volts, double TanDelta)[] Loss =
        [(6.3, .23), (10, .20), (16, .16), (25, .14), (35, .12), (50, .10), (63, .09), (100, .08), (160, .12), (200, .14), (250, .17), (350, .20), (450, .25)];

    internal Capacitor Part(string name, string plus, string minus) => new(name, plus, minus, Farads, EsrOhms ?? UsualEsr(Farads, WorkingVolts), tolerance: Tolerance)
    {
        // A volt the wrong way round is what an aluminium electrolytic bears (common practice, no source).
        Ratings = WorkingVolts is { } v ? new(Volts: v, ReverseVolts: 1) : null,
    };

    internal void Check(Checks on)
    {
        on.Range("Farads", Farads, 1e-9, 1, "F");
        on.Range("EsrOhms", EsrOhms, 0, 1000, "Ω");
        on.Range("WorkingVolts", WorkingVolts, 1, 1000, "V");
        on.Range("Tolerance", Tolerance, 0, 0.9);
    }
}

/// <summary>What rectifies: silicon or selenium.</summary>
public abstract record RectifierPart
{
    internal abstract Device Part(string name, string anode, string cathode);
    internal abstract void Check(Checks on);
}

/// <summary>A silicon rectifier; the defaults are a 1 A type.</summary>
/// <param name="AverageAmperes">Rated mean forward current, A; null when not known.</param>
/// <param name="ReverseVolts">Rated repetitive peak reverse volts; null when not known.</param>
public sealed record Silicon(double? AverageAmperes = null, double? ReverseVolts = null) : RectifierPart
{
    public double SaturationAmperes { get; init; } = 14.11e-9;
    public double Emission { get; init; } = 1.984;
    public double SeriesOhms { get; init; } = 33.89e-3;

    // The mean is rated for half a sine, whose RMS is π/2 times its mean: that heat is what the part bears.
    internal override Device Part(string name, string anode, string cathode) => new Diode(name, anode, cathode, SaturationAmperes, Emission, SeriesOhms)
    {
        SaturationSpread = 2,
        Ratings = AverageAmperes is null && ReverseVolts is null ? null : new(Volts: ReverseVolts, Amperes: AverageAmperes * Math.PI / 2),
    };

    internal override void Check(Checks on)
    {
        on.Range("AverageAmperes", AverageAmperes, 0.01, 100, "A");
        on.Range("ReverseVolts", ReverseVolts, 10, 5000, "V");
        on.Range("SaturationAmperes", SaturationAmperes, 1e-18, 1e-3, "A");
        on.Range("Emission", Emission, 0.5, 4);
        on.Range("SeriesOhms", SeriesOhms, 0, 10, "Ω");
    }
}

/// <summary>A selenium stack.</summary>
/// <param name="Plates">In series in one arm, 1 to 40.</param>
/// <param name="Amperes">Rated direct current, A.</param>
public sealed record Selenium(int Plates, double Amperes) : RectifierPart
{
    internal override Device Part(string name, string anode, string cathode) => new SeleniumStack(name, anode, cathode, Plates, Amperes);

    internal override void Check(Checks on)
    {
        on.Range("Plates", Plates, 1, 40);
        on.Range("Amperes", Amperes, 0.005, 20, "A");
    }
}

/// <summary>What a rail feeds: a resistance, or the current it was read or is known to take.</summary>
/// <param name="Rail">Name of the rail.</param>
public sealed record RailLoad(string Rail)
{
    /// <summary>Ω, 0.1 to 10 MΩ.</summary>
    public double? Ohms { get; init; }

    /// <summary>A, 1 µA to 50 A. Becomes a resistance: by <see cref="AtVolts"/>, by what the rail is regulated to, or by what the healthy supply delivers.</summary>
    public double? Amperes { get; init; }

    /// <summary>At which volts (size only) the amperes were read; null when not said.</summary>
    public double? AtVolts { get; init; }

    /// <summary>Name of the part; null makes <c>RL-rail</c>.</summary>
    public string? Name { get; init; }

    /// <summary>Relative.</summary>
    public double Tolerance { get; init; } = 0.1;

    internal void Check(Checks on)
    {
        if (Ohms is null == Amperes is null) on.Say("Ohms", "Give either the ohms or the amperes of a load, one of the two.");
        on.Range("Ohms", Ohms, 0.1, 1e7, "Ω");
        on.Range("Amperes", Amperes, 1e-6, 50, "A");
        on.Range("AtVolts", AtVolts, 0.1, 2000, "V");
        on.Range("Tolerance", Tolerance, 0, 0.9);
    }
}
