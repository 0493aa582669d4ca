using System.Collections.Immutable;

namespace Bellwire.Circuits.Shapes;

/// <summary>
/// An audio output stage described by its shape. What a bench reads on it is direct: the mid-point, the bias, the millivolts across
/// the emitter resistors. Resistors nobody read are chosen so that the healthy stage stands where such stages do.
/// Part numbers begin at 101, so that a stage can stand behind a supply.
/// </summary>
/// <param name="RailVolts">Size only, 3 to 100 V.</param>
public abstract record OutputStage(double RailVolts)
{
    /// <summary>Rail of a stage that stands alone.</summary>
    public const string Rail = "rail";

    /// <summary>The source of the tone; silent unless <see cref="ToneVolts"/> says more.</summary>
    public const string Tone = "TONE";

    /// <summary>Nominal impedance, Ω: 3.2, 8, 16, 25, 45 …</summary>
    public double SpeakerOhms { get; init; } = 8;

    /// <summary>Direct current of the output devices at rest, A.</summary>
    public double IdleAmperes { get; init; } = 10e-3;

    /// <summary>RMS of a 1 kHz tone at the input; 0 for silence.</summary>
    public double ToneVolts { get; init; }

    /// <summary>The stage stands below common, as in positive-ground sets.</summary>
    public bool Negative { get; init; }

    /// <summary>The stage with a rail of its own, from a source without ripple.</summary>
    public Built<OutputCircuit> Build()
    {
        var on = new Checks();
        Check(on);
        if (on.Found.Count > 0) return new(on.Found);
        var make = new PartMaker(after: 100);
        make.Devices.Add(new VoltageSource("RAIL", Rail, Netlist.Ground, Negative ? -RailVolts : RailVolts, 0.1));
        Assemble(make, Rail, Negative);
        return new(new OutputCircuit(new Netlist(make.Devices), [.. make.Points], "RAIL", [.. make.Parts]));
    }

    /// <summary>The stage behind a rail of a supply, in place of the load that stood for it (which is left out by the caller).</summary>
    public Built<SupplyCircuit> On(SupplyCircuit supply, string rail)
    {
        ArgumentNullException.ThrowIfNull(supply);
        var on = new Checks();
        Check(on);
        var at = supply.Rails.FirstOrDefault(r => r.Name == rail);
        if (at is null) on.Say("Rail", $"There is no rail {rail}; there are {string.Join(", ", supply.Rails.Select(r => r.Name))}.");
        if (on.Found.Count > 0) return new(on.Found);
        var make = new PartMaker(after: 100);
        Assemble(make, rail, at!.Negative);
        foreach (var twice in make.Devices.Where(d => supply.Netlist.Has(d.Name))) on.Say("Printed", $"The supply has a {twice.Name} already.");
        if (on.Found.Count > 0) return new(on.Found);
        return new(supply with { Netlist = supply.Netlist.With([.. make.Devices]), Points = supply.Points.AddRange(make.Points), Parts = supply.Parts.AddRange(make.Parts) });
    }

    private void Assemble(PartMaker make, string rail, bool negative)
    {
        make.Devices.Add(ToneVolts > 0 ? new VoltageSource(Tone, "amp-in", Netlist.Ground, new Sine(ToneVolts, 1000), 600) : new VoltageSource(Tone, "amp-in", Netlist.Ground, 0, 600));
        Build(make, rail, negative);
    }

    private protected abstract void Build(PartMaker make, string rail, bool negative);

    private protected virtual void Check(Checks on)
    {
        on.Range("RailVolts", RailVolts, 3, 100, "V");
        on.Range("SpeakerOhms", SpeakerOhms, 2, 1000, "Ω");
        on.Range("IdleAmperes", IdleAmperes, 1e-4, 2, "A");
        on.Range("ToneVolts", ToneVolts, 0, 20, "V");
    }

    // A voice coil measures about 0.8 of its nominal impedance.
    private protected void Speaker(PartMaker make, string a) => make.Named("SP101", n => new Speaker(n, a, Netlist.Ground, 0.8 * SpeakerOhms), "speaker");

    /// <summary>Base-emitter volts at a collector current and collector volts, early effect included.</summary>
    private protected static double BaseVolts(TransistorAsRead t, double amperes, double collectorVolts) =>
        Junction.ThermalVolts * Math.Log(amperes / t.SaturationAmperes / (1 + collectorVolts / t.EarlyVolts));

    /// <summary>Saturation current of a bias diode that drops <paramref name="volts"/> at <paramref name="amperes"/>.</summary>
    private protected static double BiasDiode(double volts, double amperes) => amperes / Math.Exp((volts - amperes * BiasDiodeOhms) / Junction.ThermalVolts);

    private protected const double BiasDiodeOhms = 0.01;
}

/// <summary>An output stage as a circuit.</summary>
/// <param name="Points"><c>amp-half</c> (the mid-point), <c>amp-bias</c>, <c>amp-up</c>, <c>amp-down</c> (across emitter resistors), <c>amp-driver</c>, <c>amp-out</c> (the speaker), as the shape has them.</param>
/// <param name="RailSource">Name of the source of the rail.</param>
/// <param name="Parts">Every part but the sources and what it is there for.</param>
public sealed record OutputCircuit(Netlist Netlist, ImmutableArray<TestPoint> Points, string RailSource, ImmutableArray<ShapePart> Parts);
