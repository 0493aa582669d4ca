using System.Collections.Immutable;
using Bellwire.Circuits.Solving;
using Bellwire.Circuits.Tolerances;

namespace Bellwire.Circuits;

/// <summary>A diode: Shockley with series resistance, at 27 °C. Anode first. The defaults are a 1 A silicon rectifier.</summary>
public sealed record Diode : TwoTerminal
{
    /// <param name="saturationAmperes">Is, A, above 0.</param>
    /// <param name="emission">N, above 0.</param>
    /// <param name="seriesOhms">RS, Ω, 0 or more.</param>
    public Diode(string name, string anode, string cathode, double saturationAmperes = 14.11e-9, double emission = 1.984, double seriesOhms = 33.89e-3) : base(name, anode, cathode) =>
        (SaturationAmperes, Emission, SeriesOhms) = (saturationAmperes, emission, seriesOhms);

    public double SaturationAmperes { get; init => field = Ranged.Positive(value, "saturation amperes"); }
    public double Emission { get; init => field = Ranged.Positive(value, "emission"); }
    public double SeriesOhms { get; init => field = Ranged.NotNegative(value, "series ohms"); }

    /// <summary>Factor by which the saturation current spreads between specimens, 1 = not at all.</summary>
    public double SaturationSpread { get; init; } = 1;
    public override IEnumerable<Fault> UsualFaults => [new Open(Name), new Shorted(Name), new Leaky(Name, 200)];
    public override ImmutableArray<string> Pins => ["anode", "cathode"];
    public override Device Drawn(Draw draw) => this with { SaturationAmperes = draw.Factor(SaturationAmperes, SaturationSpread) };
    internal override void Export(SpiceText t) => DiodeElement.Export(t, t.Node(Nodes[0]), t.Node(Nodes[1]), SaturationAmperes, Emission, SeriesOhms);

    internal override void Install(Assembly into) => into.Add(new DiodeElement(Name, into.Pin(0), into.Pin(1), SaturationAmperes, Emission * Junction.ThermalVolts, SeriesOhms, 0));
}

/// <summary>A zener: a rectifier forwards, and backwards a knee at its voltage with the data sheet's dynamic resistance. Anode first.</summary>
public sealed record Zener : TwoTerminal
{
    /// <param name="volts">Zener voltage at <paramref name="testAmperes"/>, V.</param>
    /// <param name="testAmperes">Izt, A.</param>
    /// <param name="dynamicOhms">Zzt, Ω; half is taken as knee, half as plain resistance.</param>
    public Zener(string name, string anode, string cathode, double volts, double testAmperes = 5e-3, double dynamicOhms = 10, double tolerance = 0) : base(name, anode, cathode) =>
        (Volts, TestAmperes, DynamicOhms, Tolerance) = (volts, testAmperes, dynamicOhms, tolerance);

    public double Volts { get; init => field = Ranged.Positive(value, "zener volts"); }
    public double TestAmperes { get; init => field = Ranged.Positive(value, "test amperes"); }
    public double DynamicOhms { get; init => field = Ranged.Positive(value, "dynamic ohms"); }
    public double Tolerance { get; init => field = Ranged.Within(value, 0, 0.99, "tolerance"); }
    public override IEnumerable<Fault> UsualFaults => [new Open(Name), new Shorted(Name), new Drifted(Name, 1.1)];
    public override ImmutableArray<string> Pins => ["anode", "cathode"];
    public override Device Drawn(Draw draw) => this with { Volts = draw.Value(Volts, Tolerance) };

    internal override void Export(SpiceText t)
    {
        var (a, k) = (t.Node(Nodes[0]), t.Node(Nodes[1]));
        var slope = 0.5 * DynamicOhms * TestAmperes;
        DiodeElement.Export(t, a, k, 1e-12, 1, 0.1);
        DiodeElement.Export(t, k, t.Inner("knee"), TestAmperes * 1e-9, slope / Junction.ThermalVolts, 0.5 * DynamicOhms, surface: a);
        t.V(t.Inner("knee"), a, new Steady(Volts - slope * Math.Log(1e9) - 0.5 * DynamicOhms * TestAmperes));
    }

    internal override void Install(Assembly into)
    {
        var (a, k) = (into.Pin(0), into.Pin(1));
        into.Add(new DiodeElement(Name, a, k, 1e-12, Junction.ThermalVolts, 0.1, 0));
        // Backwards: a diode with saturation current Izt·1e-9 behind the voltage that makes the total come out at Vz, Izt.
        var slope = 0.5 * DynamicOhms * TestAmperes;
        var offset = Volts - slope * Math.Log(1e9) - 0.5 * DynamicOhms * TestAmperes;
        into.Add(new DiodeElement(Name, k, a, TestAmperes * 1e-9, slope, 0.5 * DynamicOhms, offset));
    }
}

/// <summary>A selenium stack: so many plates in series, each a soft junction with resistance and a visible back leakage. Anode first.</summary>
public sealed record SeleniumStack : TwoTerminal
{
    /// <param name="plates">Plates in series, 1 or more.</param>
    /// <param name="ratedAmperes">Rated direct current, A: sets the drop of about 1 V a plate (common practice, no source).</param>
    /// <param name="ageOhmsFactor">1 when new; forward resistance grows with age.</param>
    public SeleniumStack(string name, string anode, string cathode, int plates, double ratedAmperes, double ageOhmsFactor = 1) : base(name, anode, cathode)
    {
        if (plates < 1) throw new ArgumentOutOfRangeException(nameof(plates), plates, "A stack has at least one plate.");
        (Plates, RatedAmperes, AgeOhmsFactor) = (plates, ratedAmperes, ageOhmsFactor);
    }

    public int Plates { get; init; }
    public double RatedAmperes { get; init => field = Ranged.Positive(value, "rated amperes"); }
    public double AgeOhmsFactor { get; init => field = Ranged.Positive(value, "age factor"); }
    public override IEnumerable<Fault> UsualFaults => [new Open(Name), new Shorted(Name), new Drifted(Name, 4)];
    public override ImmutableArray<string> Pins => ["anode", "cathode"];

    /// <summary>Shockley values of the whole stack: (Is, n·Vt, Rs, back leakage Ω). Knee 0.5 V and resistance 0.5 V a plate at rated current.</summary>
    public (double SaturationAmperes, double SlopeVolts, double SeriesOhms, double LeakOhms) Values =>
        (RatedAmperes * 2e-4, Plates * 0.0587, Plates * 0.5 * AgeOhmsFactor / RatedAmperes, Plates * 2.5e3 / RatedAmperes);

    internal override void Export(SpiceText t)
    {
        var (isat, slope, ohms, leak) = Values;
        DiodeElement.Export(t, t.Node(Nodes[0]), t.Node(Nodes[1]), isat, slope / Junction.ThermalVolts, ohms);
        t.R(t.Node(Nodes[0]), t.Node(Nodes[1]), leak);
    }

    internal override void Install(Assembly into)
    {
        var (a, k) = (into.Pin(0), into.Pin(1));
        var (isat, slope, ohms, leak) = Values;
        into.Add(new DiodeElement(Name, a, k, isat, slope, ohms, 0));
        into.Resistive(Name, a, k, leak);
    }
}

/// <summary>Shockley junction with resistance, conducting when v exceeds an offset.</summary>
internal sealed class DiodeElement(string device, Terminal anode, Terminal cathode, double saturation, double slopeVolts, double seriesOhms, double offset) : Nonlinear(device, anode, cathode)
{
    /// <summary>1 GΩ beside every rectifier, S: when all of a bridge block, the winding must not hang in the air by rounding alone.</summary>
    public const double Surface = 1e-9;

    internal static void Export(SpiceText t, string anode, string cathode, double saturation, double emission, double seriesOhms, string? surface = null)
    {
        t.Model('d', $"{anode} {cathode}", "d", $"is={SpiceText.N(saturation)} n={SpiceText.N(emission)} rs={SpiceText.N(seriesOhms)}");
        t.R(anode, surface ?? cathode, 1 / Surface);
    }

    private readonly double _critical = Junction.Critical(saturation, slopeVolts);
    public override int Memory => 1;

    public override bool Evaluate(ReadOnlySpan<double> v, Span<double> i, Span<double> g, Span<double> memory, bool limit)
    {
        var seen = v[0] - v[1] - offset;
        var limited = false;
        var at = limit ? Junction.Limited(seen, memory[0], slopeVolts, _critical, ref limited) : seen;
        memory[0] = at;
        var current = Junction.Current(at, saturation, slopeVolts, seriesOhms, out var slope);
        current += slope * (seen - at) + Surface * (v[0] - v[1]);
        slope += Surface;
        i[0] = current;
        i[1] = -current;
        g[0] = g[3] = slope;
        g[1] = g[2] = -slope;
        return limited;
    }
}
