using System.Collections.Immutable;
using Bellwire.Circuits.Solving;
using Bellwire.Circuits.Tolerances;

namespace Bellwire.Circuits;

/// <summary>A bipolar transistor, Ebers–Moll in transport form with early effect, at 27 °C. Pins: collector, base, emitter.</summary>
public sealed record BipolarTransistor : Device
{
    /// <param name="npn">False for pnp.</param>
    /// <param name="beta">Forward current gain, above 0.</param>
    /// <param name="saturationAmperes">Is, A.</param>
    /// <param name="earlyVolts">Early voltage, V, above 0; infinite for none.</param>
    public BipolarTransistor(string name, string collector, string @base, string emitter, bool npn = true, double beta = 100, double saturationAmperes = 1e-14, double earlyVolts = 100, double reverseBeta = 1)
        : base(name, collector, @base, emitter) => (Npn, Beta, SaturationAmperes, EarlyVolts, ReverseBeta) = (npn, beta, saturationAmperes, earlyVolts, reverseBeta);

    public bool Npn { get; init; }
    public double Beta { get; init => field = Ranged.Positive(value, "beta"); }
    public double ReverseBeta { get; init => field = Ranged.Positive(value, "reverse beta"); }
    public double SaturationAmperes { get; init => field = Ranged.Positive(value, "saturation amperes"); }
    public double EarlyVolts { get; init => field = value > 0 ? value : throw new ArgumentOutOfRangeException(nameof(EarlyVolts), value, "The early voltage must be above 0."); }

    /// <summary>Factor by which the gain spreads between specimens, 1 = not at all.</summary>
    public double BetaSpread { get; init; } = 1;
    public override IEnumerable<Fault> UsualFaults => [new Open(Name, 0), new Open(Name, 1), new Open(Name, 2), new Shorted(Name, 0, 2), new Shorted(Name, 1, 2), new LowGain(Name)];
    public override ImmutableArray<string> Pins => ["collector", "base", "emitter"];
    public override Device Drawn(Draw draw) => this with { Beta = draw.Factor(Beta, BetaSpread) };
    internal override void Export(SpiceText t) =>
        t.Model('q', string.Join(' ', Nodes.Select(t.Node)), Npn ? "npn" : "pnp", $"is={SpiceText.N(SaturationAmperes)} bf={SpiceText.N(Beta)} br={SpiceText.N(ReverseBeta)}{(double.IsFinite(EarlyVolts) ? $" vaf={SpiceText.N(EarlyVolts)}" : "")}");

    internal override void Install(Assembly into) => into.Add(new BipolarElement(this, into.Pin(0), into.Pin(1), into.Pin(2)));
}

internal sealed class BipolarElement(BipolarTransistor t, Terminal c, Terminal b, Terminal e) : Nonlinear(t.Name, c, b, e)
{
    private const double Vt = Junction.ThermalVolts;
    private readonly double _critical = Junction.Critical(t.SaturationAmperes, Vt);
    public override int Memory => 2;

    public override bool Evaluate(ReadOnlySpan<double> v, Span<double> i, Span<double> g, Span<double> memory, bool limit)
    {
        var p = t.Npn ? 1.0 : -1.0;
        var (seenBe, seenBc) = (p * (v[1] - v[2]), p * (v[1] - v[0]));
        var limited = false;
        var be = limit ? Junction.Limited(seenBe, memory[0], Vt, _critical, ref limited) : seenBe;
        var bc = limit ? Junction.Limited(seenBc, memory[1], Vt, _critical, ref limited) : seenBc;
        (memory[0], memory[1]) = (be, bc);
        var forward = Junction.Bare(be, t.SaturationAmperes, Vt, out var gf);
        var reverse = Junction.Bare(bc, t.SaturationAmperes, Vt, out var gr);
        // Transport current with early effect (SPICE: 1/qb = 1 − vbc/VA), kept from turning negative deep in saturation.
        var early = 1 - bc / t.EarlyVolts;
        var earlySlope = -1 / t.EarlyVolts;
        if (early < 0.05) (early, earlySlope) = (0.05, 0);
        var transport = (forward - reverse) * early;
        var (tBe, tBc) = (gf * early, -gr * early + (forward - reverse) * earlySlope);
        // Collector and base current as functions of (be, bc), then their tangent at what was seen.
        var (icBe, icBc) = (tBe, tBc - gr / t.ReverseBeta);
        var (ibBe, ibBc) = (gf / t.Beta, gr / t.ReverseBeta);
        var ic = transport - reverse / t.ReverseBeta + icBe * (seenBe - be) + icBc * (seenBc - bc);
        var ib = forward / t.Beta + reverse / t.ReverseBeta + ibBe * (seenBe - be) + ibBc * (seenBc - bc);
        (ic, icBc) = (ic - Leak * seenBc, icBc - Leak);
        (ib, ibBe, ibBc) = (ib + Leak * (seenBe + seenBc), ibBe + Leak, ibBc + Leak);
        i[0] = p * ic;
        i[1] = p * ib;
        i[2] = -p * (ic + ib);
        // be = vb − ve, bc = vb − vc (both signs of p cancel)
        (g[0], g[1], g[2]) = (-icBc, icBe + icBc, -icBe);
        (g[3], g[4], g[5]) = (-ibBc, ibBe + ibBc, -ibBe);
        for (var k = 0; k < 3; k++) g[6 + k] = -(g[k] + g[3 + k]);
        return limited;
    }
}

/// <summary>A MOSFET, square law with channel-length modulation (Shichman &amp; Hodges 1968). Pins: drain, gate, source.</summary>
public sealed record Mosfet : Device
{
    /// <param name="thresholdVolts">Positive for an enhancement type of either polarity, V.</param>
    /// <param name="factor">Transconductance factor K' W/L, A/V².</param>
    /// <param name="lambda">Channel-length modulation, 1/V, 0 or more.</param>
    public Mosfet(string name, string drain, string gate, string source, bool nChannel = true, double thresholdVolts = 2, double factor = 0.5, double lambda = 0.01) : base(name, drain, gate, source) =>
        (NChannel, ThresholdVolts, Factor, Lambda) = (nChannel, thresholdVolts, factor, lambda);

    public bool NChannel { get; init; }
    public double ThresholdVolts { get; init => field = Ranged.Finite(value, "threshold volts"); }
    public double Factor { get; init => field = Ranged.Positive(value, "transconductance factor"); }
    public double Lambda { get; init => field = Ranged.NotNegative(value, "lambda"); }
    public override IEnumerable<Fault> UsualFaults => [new Open(Name, 0), new Open(Name, 1), new Shorted(Name, 0, 2), new Shorted(Name, 1, 2)];
    public override ImmutableArray<string> Pins => ["drain", "gate", "source"];
    public override IEnumerable<(int From, int To)> DirectPaths => [(0, 2)];
    internal override void Export(SpiceText t) =>
        t.Model('m', $"{t.Node(Nodes[0])} {t.Node(Nodes[1])} {t.Node(Nodes[2])} {t.Node(Nodes[2])}", NChannel ? "nmos" : "pmos", $"level=1 vto={SpiceText.N(NChannel ? ThresholdVolts : -ThresholdVolts)} kp={SpiceText.N(Factor)} lambda={SpiceText.N(Lambda)}");

    internal override void Install(Assembly into) => into.Add(new MosfetElement(this, into.Pin(0), into.Pin(1), into.Pin(2)));
}

internal sealed class MosfetElement(Mosfet m, Terminal d, Terminal g, Terminal s) : Nonlinear(m.Name, d, g, s)
{
    public override bool Evaluate(ReadOnlySpan<double> v, Span<double> i, Span<double> g, Span<double> memory, bool limit)
    {
        var p = m.NChannel ? 1.0 : -1.0;
        var (vd, vg, vs) = (p * v[0], p * v[1], p * v[2]);
        var swapped = vd < vs; // the channel is symmetric: the lower end is the source
        if (swapped) (vd, vs) = (vs, vd);
        var (over, across) = (vg - vs - m.ThresholdVolts, vd - vs);
        double id = 0, gm = 0, gds = 1e-12;
        if (over > 0)
        {
            var length = 1 + m.Lambda * across;
            if (across < over)
            {
                var core = m.Factor * (over - across / 2) * across;
                (id, gm, gds) = (core * length, m.Factor * across * length, m.Factor * (over - across) * length + core * m.Lambda);
            }
            else
            {
                var core = m.Factor / 2 * over * over;
                (id, gm, gds) = (core * length, m.Factor * over * length, core * m.Lambda + 1e-12);
            }
        }
        var (drain, source) = swapped ? (2, 0) : (0, 2);
        i[1] = 0;
        i[drain] = p * id;
        i[source] = -p * id;
        g.Clear();
        g[drain * 3 + drain] = gds;
        g[drain * 3 + 1] = gm;
        g[drain * 3 + source] = -gm - gds;
        for (var k = 0; k < 3; k++) g[source * 3 + k] = -g[drain * 3 + k];
        return false;
    }
}
