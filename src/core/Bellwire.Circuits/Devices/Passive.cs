using System.Collections.Immutable;
using Bellwire.Circuits.Solving;
using Bellwire.Circuits.Tolerances;

namespace Bellwire.Circuits;

/// <summary>A resistor.</summary>
public sealed record Resistor : TwoTerminal
{
    /// <param name="ohms">Ω, above 0.</param>
    /// <param name="tolerance">Relative, 0.05 for 5 %.</param>
    public Resistor(string name, string a, string b, double ohms, double tolerance = 0) : base(name, a, b) => (Ohms, Tolerance) = (ohms, tolerance);

    public double Ohms { get; init => field = Ranged.Positive(value, "ohms"); }
    public double Tolerance { get; init => field = Ranged.Within(value, 0, 0.99, "tolerance"); }
    public override IEnumerable<Fault> UsualFaults => [new Open(Name), new Drifted(Name, 1.5)];
    public override Device Drawn(Draw draw) => this with { Ohms = draw.Value(Ohms, Tolerance) };
    internal override void Export(SpiceText t) => t.R(t.Node(Nodes[0]), t.Node(Nodes[1]), Ohms);

    internal override void Install(Assembly into) => into.Resistive(Name, into.Pin(0), into.Pin(1), Ohms);
}

/// <summary>A capacitor with series resistance and leakage; the first pin is the plus of an electrolytic.</summary>
public sealed record Capacitor : TwoTerminal
{
    /// <param name="farads">F, above 0.</param>
    /// <param name="seriesOhms">ESR, Ω, 0 or more.</param>
    /// <param name="leakOhms">Parallel leakage, Ω; infinite when none.</param>
    /// <param name="tolerance">Relative.</param>
    public Capacitor(string name, string a, string b, double farads, double seriesOhms = 0, double leakOhms = double.PositiveInfinity, double tolerance = 0) : base(name, a, b) =>
        (Farads, SeriesOhms, LeakOhms, Tolerance) = (farads, seriesOhms, leakOhms, tolerance);

    public double Farads { get; init => field = Ranged.Positive(value, "farads"); }
    public double SeriesOhms { get; init => field = Ranged.NotNegative(value, "series ohms"); }
    public double LeakOhms { get; init => field = value > 0 ? value : throw new ArgumentOutOfRangeException(nameof(LeakOhms), value, "Leakage must be above 0 Ω."); }
    public double Tolerance { get; init => field = Ranged.Within(value, 0, 0.99, "tolerance"); }
    public override IEnumerable<(int From, int To)> DirectPaths => double.IsFinite(LeakOhms) ? [(0, 1)] : [];
    public override IEnumerable<Fault> UsualFaults => [new Open(Name), new Shorted(Name), new DriedOut(Name), new Leaky(Name, 100)];
    public override Device Drawn(Draw draw) => this with { Farads = draw.Value(Farads, Tolerance) };

    internal override void Export(SpiceText t)
    {
        var plate = SeriesOhms > 0 ? t.Inner("esr") : t.Node(Nodes[0]);
        t.C(plate, t.Node(Nodes[1]), Farads);
        if (SeriesOhms > 0) t.R(t.Node(Nodes[0]), plate, SeriesOhms);
        if (double.IsFinite(LeakOhms)) t.R(t.Node(Nodes[0]), t.Node(Nodes[1]), LeakOhms);
    }

    internal override void Install(Assembly into)
    {
        var (a, b) = (into.Pin(0), into.Pin(1));
        into.Capacitive(Name, a, b, Farads, SeriesOhms);
        if (double.IsFinite(LeakOhms)) into.Resistive(Name, a, b, LeakOhms);
    }
}

/// <summary>A coil with its winding resistance.</summary>
public sealed record Inductor : TwoTerminal
{
    /// <param name="henries">H, above 0.</param>
    /// <param name="ohms">Winding resistance, Ω, above 0: a coil without any would close a loop at direct current.</param>
    public Inductor(string name, string a, string b, double henries, double ohms) : base(name, a, b) => (Henries, Ohms) = (henries, ohms);

    public double Henries { get; init => field = Ranged.Positive(value, "henries"); }
    public double Ohms { get; init => field = Ranged.Positive(value, "winding ohms"); }
    public override IEnumerable<Fault> UsualFaults => [new Open(Name)];
    internal override void Export(SpiceText t)
    {
        t.L(t.Inner("wire"), t.Node(Nodes[1]), Henries);
        t.R(t.Node(Nodes[0]), t.Inner("wire"), Ohms);
    }

    internal override void Install(Assembly into) => into.Inductive(Name, into.Pin(0), into.Pin(1), Henries, Ohms);
}

/// <summary>A fuse that is whole: a small resistance. Blowing is a fault; whether it would blow is judged from its current and its ratings.</summary>
public sealed record Fuse : TwoTerminal
{
    /// <param name="ratedAmperes">A RMS, above 0.</param>
    /// <param name="ohms">Cold resistance, Ω, above 0.</param>
    public Fuse(string name, string a, string b, double ratedAmperes, double ohms = 0.1) : base(name, a, b) => (RatedAmperes, Ohms) = (ratedAmperes, ohms);

    public double RatedAmperes { get; init => field = Ranged.Positive(value, "rated amperes"); }
    public double Ohms { get; init => field = Ranged.Positive(value, "fuse ohms"); }

    /// <summary>Multiple of the rating that it just holds for ever: 1.5 for IEC 60127 types, about 1.2 for UL 248-14 types.</summary>
    public double HoldsTimes { get; init => field = Ranged.Positive(value, "holding multiple"); } = 1.5;

    /// <summary>Time constant of shedding heat, s, from melting integral and holding current; null when no melting integral is rated.</summary>
    public double? ShedSeconds => Ratings?.MeltingAmpereSquaredSeconds is { } melting ? melting / Math.Pow(HoldsTimes * RatedAmperes, 2) : null;

    /// <summary>
    /// How long a steady RMS current is borne, s: one heat store that takes i² and sheds in proportion, melting at the rated
    /// integral. Infinite at or below the holding current; null when no melting integral is rated.
    /// </summary>
    public double? OpensAfterSeconds(double amperes)
    {
        if (ShedSeconds is not { } shed) return null;
        var share = Math.Pow(HoldsTimes * RatedAmperes / amperes, 2);
        return share >= 1 ? double.PositiveInfinity : -shed * Math.Log(1 - share);
    }

    public override IEnumerable<Fault> UsualFaults => [new Open(Name), new ContactResistance(Name, 2)];
    internal override void Export(SpiceText t) => t.R(t.Node(Nodes[0]), t.Node(Nodes[1]), Ohms);

    internal override void Install(Assembly into) => into.Resistive(Name, into.Pin(0), into.Pin(1), Ohms);
}

/// <summary>A switch or relay contact.</summary>
public sealed record Switch : TwoTerminal
{
    /// <param name="closedOhms">Contact resistance, Ω, above 0.</param>
    /// <param name="openOhms">Insulation when open, Ω.</param>
    public Switch(string name, string a, string b, bool closed, double closedOhms = 0.01, double openOhms = 1e9) : base(name, a, b) =>
        (Closed, ClosedOhms, OpenOhms) = (closed, closedOhms, openOhms);

    public bool Closed { get; init; }
    public double ClosedOhms { get; init => field = Ranged.Positive(value, "contact ohms"); }
    public double OpenOhms { get; init => field = Ranged.Positive(value, "open ohms"); }
    public override IEnumerable<Fault> UsualFaults => [new Open(Name), new ContactResistance(Name, 5)];
    internal override void Export(SpiceText t) => t.R(t.Node(Nodes[0]), t.Node(Nodes[1]), Closed ? ClosedOhms : OpenOhms);

    internal override void Install(Assembly into) => into.Resistive(Name, into.Pin(0), into.Pin(1), Closed ? ClosedOhms : OpenOhms);
}

/// <summary>A potentiometer: top, wiper, bottom.</summary>
public sealed record Potentiometer : Device
{
    /// <param name="ohms">Track, Ω, above 0.</param>
    /// <param name="wiper">0 at the bottom, 1 at the top.</param>
    /// <param name="wiperOhms">Contact of the wiper, Ω, above 0.</param>
    public Potentiometer(string name, string top, string wiperNode, string bottom, double ohms, double wiper, double wiperOhms = 1) : base(name, top, wiperNode, bottom) =>
        (Ohms, Wiper, WiperOhms) = (ohms, wiper, wiperOhms);

    public double Ohms { get; init => field = Ranged.Positive(value, "track ohms"); }
    public double Wiper { get; init => field = Ranged.Within(value, 0, 1, "wiper"); }
    public double WiperOhms { get; init => field = Ranged.Positive(value, "wiper ohms"); }
    public override IEnumerable<Fault> UsualFaults => [new Open(Name, 0), new Open(Name, 1), new Open(Name, 2)];
    public override ImmutableArray<string> Pins => ["top", "wiper", "bottom"];

    internal override void Export(SpiceText t)
    {
        const double End = 1e-4;
        t.R(t.Node(Nodes[0]), t.Inner("tap"), Ohms * Math.Max(1 - Wiper, End));
        t.R(t.Inner("tap"), t.Node(Nodes[2]), Ohms * Math.Max(Wiper, End));
        t.R(t.Inner("tap"), t.Node(Nodes[1]), WiperOhms);
    }

    internal override void Install(Assembly into)
    {
        var tap = into.Unknown($"{Name}#tap");
        const double End = 1e-4; // share of the track that is metal at each stop
        into.Resistive(Name, into.Pin(0), tap, Ohms * Math.Max(1 - Wiper, End));
        into.Resistive(Name, tap, into.Pin(2), Ohms * Math.Max(Wiper, End));
        into.Resistive(Name, tap, into.Pin(1), WiperOhms);
    }
}

/// <summary>A loudspeaker: voice coil in series with the parallel resonance of the cone (Small 1972, electrical side).</summary>
public sealed record Speaker : TwoTerminal
{
    /// <param name="coilOhms">Direct resistance, Ω; about 0.8 of the nominal impedance.</param>
    /// <param name="coilHenries">Voice-coil inductance, H.</param>
    /// <param name="resonanceHertz">Cone resonance, Hz.</param>
    /// <param name="peakOhms">Rise of the impedance at resonance above the coil, Ω.</param>
    /// <param name="mechanicalQ">Q of that peak alone.</param>
    public Speaker(string name, string a, string b, double coilOhms, double coilHenries = 0.3e-3, double resonanceHertz = 180, double peakOhms = 20, double mechanicalQ = 3) : base(name, a, b) =>
        (CoilOhms, CoilHenries, ResonanceHertz, PeakOhms, MechanicalQ) = (coilOhms, coilHenries, resonanceHertz, peakOhms, mechanicalQ);

    public double CoilOhms { get; init => field = Ranged.Positive(value, "coil ohms"); }
    public double CoilHenries { get; init => field = Ranged.Positive(value, "coil henries"); }
    public double ResonanceHertz { get; init => field = Ranged.Positive(value, "resonance hertz"); }
    public double PeakOhms { get; init => field = Ranged.Positive(value, "peak ohms"); }
    public double MechanicalQ { get; init => field = Ranged.Positive(value, "mechanical Q"); }

    public override IEnumerable<Fault> UsualFaults => [new Open(Name), new Shorted(Name, Ohms: 0.5)];
    internal override void Export(SpiceText t)
    {
        var (omega, b) = (2 * Math.PI * ResonanceHertz, t.Node(Nodes[1]));
        t.L(t.Inner("coil"), t.Inner("cone"), CoilHenries);
        t.R(t.Node(Nodes[0]), t.Inner("coil"), CoilOhms);
        t.R(t.Inner("cone"), b, PeakOhms);
        t.C(t.Inner("cone"), b, MechanicalQ / (omega * PeakOhms));
        t.L(t.Inner("cone"), t.Inner("spring"), PeakOhms / (omega * MechanicalQ));
        t.R(t.Inner("spring"), b, 1e-3);
    }

    internal override void Install(Assembly into)
    {
        var (cone, b) = (into.Unknown($"{Name}#cone"), into.Pin(1));
        var omega = 2 * Math.PI * ResonanceHertz;
        into.Inductive(Name, into.Pin(0), cone, CoilHenries, CoilOhms);
        into.Resistive(Name, cone, b, PeakOhms);
        into.Capacitive(Name, cone, b, MechanicalQ / (omega * PeakOhms), 0);
        into.Inductive(Name, cone, b, PeakOhms / (omega * MechanicalQ), 1e-3);
    }
}
