using System.Collections.Immutable;
using Bellwire.Circuits.Solving;
using Bellwire.Circuits.Tolerances;

namespace Bellwire.Circuits;

/// <summary>
/// A three-terminal regulator. Pins: in, out, common (or adjust). Between out and common it holds <see cref="Volts"/>
/// as long as the input stands <see cref="DropoutVolts"/> above the output, up to a current limit; it draws its
/// quiescent current from the input into the common pin. Adjustable types: 1.25 V and 50 µA.
/// Smooth: target u = min(Volts + k·(vin − vout_nominal − dropout), vin − dropout) rounded over 20 mV,
/// wanted = (u − vout)/Rout, current = min(max(0, wanted), limit) rounded over 1 mA and 1 % of the limit. The limit folds back with the volts across the part where that is told.
/// </summary>
public sealed record Regulator : Device
{
    /// <param name="volts">Regulated volts between out and common, V, above 0.</param>
    public Regulator(string name, string input, string output, string common, double volts) : base(name, input, output, common) => Volts = volts;

    public double Volts { get; init => field = Ranged.Positive(value, "regulated volts"); }

    /// <summary>True for a negative regulator: all pins are mirrored.</summary>
    public bool Negative { get; init; }

    /// <summary>V.</summary>
    public double DropoutVolts { get; init => field = Ranged.NotNegative(value, "dropout volts"); } = 2;

    /// <summary>A.</summary>
    public double LimitAmperes { get; init => field = Ranged.Positive(value, "limit amperes"); } = 2.2;

    /// <summary>Fold-back: what is left of the limit, A, when the input stands <see cref="FoldedVolts"/> above the output; it falls in a straight line from <see cref="FoldsFromVolts"/> on. Null for none.</summary>
    public double? FoldedAmperes { get; init => field = value is { } v ? Ranged.Positive(v, "folded amperes") : null; }

    /// <summary>V between input and output up to which the whole limit is there, 0 or more.</summary>
    public double FoldsFromVolts { get; init => field = Ranged.NotNegative(value, "fold-back volts"); } = 10;

    /// <summary>V between input and output from which on only <see cref="FoldedAmperes"/> are left; above <see cref="FoldsFromVolts"/>.</summary>
    public double FoldedVolts { get; init => field = Ranged.Positive(value, "folded volts"); } = 35;

    /// <summary>A.</summary>
    public double QuiescentAmperes { get; init => field = Ranged.NotNegative(value, "quiescent amperes"); } = 5e-3;

    /// <summary>Ω, above 0.</summary>
    public double OutputOhms { get; init => field = Ranged.Positive(value, "output ohms"); } = 0.01;

    /// <summary>Share of an input change that comes through, in dB below it.</summary>
    public double RejectionDecibels { get; init => field = Ranged.NotNegative(value, "rejection"); } = 73;
    public double Tolerance { get; init => field = Ranged.Within(value, 0, 0.99, "tolerance"); }

    public override IEnumerable<Fault> UsualFaults => [new RegulatorThrough(Name), new RegulatorOpen(Name), new RegulatorNoOutput(Name), new RegulatorCommonOpen(Name), new Drifted(Name, 0.85)];
    public override ImmutableArray<string> Pins => ["in", "out", "common"];
    public override Device Drawn(Draw draw) => this with { Volts = draw.Value(Volts, Tolerance) };
    internal override void Export(SpiceText t) => RegulatorElement.Export(this, t, t.Node(Nodes[0]), t.Node(Nodes[1]), t.Node(Nodes[2]));

    internal override void Install(Assembly into) => into.Add(new RegulatorElement(this, into.Pin(0), into.Pin(1), into.Pin(2)));
}

internal sealed class RegulatorElement(Regulator r, Terminal input, Terminal output, Terminal common) : Nonlinear(r.Name, input, output, common)
{
    /// <summary>The divider inside, from output to common, S: what keeps an unloaded output from creeping up.</summary>
    private const double Bleed = 2e-5;

    private readonly double _through = Math.Pow(10, -r.RejectionDecibels / 20);

    // What the rounding of the limit's corner would take away from a current of nothing.
    private readonly double _idle = Smooth.Lower(0, r.FoldedAmperes ?? r.LimitAmperes, 0.01 * r.LimitAmperes, out _);

    // A for each volt between input and output, along the fold.
    private readonly double _fold = Fold(r);

    /// <summary>Rounding of the fold's two corners, V.</summary>
    private const double Crease = 0.5;

    private static double Fold(Regulator r) => r.FoldedAmperes is not { } left ? 0
        : r.FoldedVolts > r.FoldsFromVolts ? Math.Max(0, r.LimitAmperes - left) / (r.FoldedVolts - r.FoldsFromVolts)
        : throw new ArgumentOutOfRangeException(nameof(r), r.FoldedVolts, $"{r.Name}: folded volts must lie above the {r.FoldsFromVolts} V from which the limit folds.");

    internal static void Export(Regulator r, SpiceText t, string input, string output, string common)
    {
        var p = r.Negative ? "-1" : "1";
        var (vi, vo) = ($"({p}*(v({input})-v({common})))", $"({p}*(v({output})-v({common})))");
        string Above(string x, double w) => $"(0.5*({x}+sqrt(({x})*({x})+{SpiceText.N(w * w)})))";
        var regulated = $"({SpiceText.N(r.Volts)}+{SpiceText.N(Math.Pow(10, -r.RejectionDecibels / 20))}*({vi}-{SpiceText.N(r.Volts + r.DropoutVolts)}))";
        var free = $"({vi}-{SpiceText.N(r.DropoutVolts)})";
        // Two nodes carry intermediate results, or the formula would repeat itself eightfold.
        var (target, wanted) = (t.Inner("target"), t.Inner("wanted"));
        t.B("0", target, $"{free}-{Above($"({free}-{regulated})", 0.02)}");
        t.R(target, "0", 1);
        t.B("0", wanted, Above($"((v({target})-{vo})/{SpiceText.N(r.OutputOhms)})", 1e-3));
        t.R(wanted, "0", 1);
        var (most, width) = (SpiceText.N(r.LimitAmperes), 0.01 * r.LimitAmperes);
        if (r.FoldedAmperes is not null)
        {
            var limit = t.Inner("limit");
            var across = $"({vi}-{vo})";
            t.B("0", limit, $"{most}-{SpiceText.N(Fold(r))}*({Above($"({across}-{SpiceText.N(r.FoldsFromVolts)})", Crease)}-{Above($"({across}-{SpiceText.N(r.FoldedVolts)})", Crease)})");
            t.R(limit, "0", 1);
            most = $"v({limit})";
        }
        var current = $"({most}-{Above($"({most}-v({wanted}))", width)}-{SpiceText.N(Smooth.Lower(0, r.FoldedAmperes ?? r.LimitAmperes, width, out _))})";
        t.B(input, output, $"{p}*{current}");
        t.B(input, common, $"{p}*{SpiceText.N(r.QuiescentAmperes)}*{vi}/sqrt({vi}*{vi}+1)");
        t.R(output, common, 1 / Bleed);
    }

    public override int Memory => 1;

    public override bool Evaluate(ReadOnlySpan<double> v, Span<double> i, Span<double> g, Span<double> memory, bool limit)
    {
        var p = r.Negative ? -1.0 : 1.0;
        var (vi, vo) = (p * (v[0] - v[2]), p * (v[1] - v[2]));
        var regulated = r.Volts + _through * (vi - r.Volts - r.DropoutVolts);
        var target = Smooth.Lower(regulated, vi - r.DropoutVolts, 0.02, out var share);
        var targetSlope = share * _through + (1 - share);
        var seen = (target - vo) / r.OutputOhms;
        var drive = seen;
        var (most, byAcross) = (r.LimitAmperes, 0.0);
        if (_fold > 0)
        {
            most -= _fold * (Smooth.Above(vi - vo - r.FoldsFromVolts, Crease, out var began) - Smooth.Above(vi - vo - r.FoldedVolts, Crease, out var ended));
            byAcross = -_fold * (began - ended);
        }
        if (limit)
        {
            // From shut to the limit or back in one stride: stop in between, where the slope is, or Newton's method hops for ever.
            if ((memory[0] <= 0 && seen > most) || (memory[0] >= most && seen < 0)) drive = most / 2;
            else if (memory[0] > 0 && memory[0] < most) drive = Math.Clamp(seen, 0, most);
        }
        memory[0] = drive;
        var wanted = Smooth.Above(drive, 1e-3, out var above);
        var current = Smooth.Lower(wanted, most, 0.01 * r.LimitAmperes, out var free) - _idle + free * above * (seen - drive);
        var slope = free * above / r.OutputOhms;
        var (byIn, byOut) = (slope * targetSlope + (1 - free) * byAcross, -slope - (1 - free) * byAcross);

        var root = Math.Sqrt(vi * vi + 1);
        var quiescent = r.QuiescentAmperes * vi / root;
        var quiescentSlope = r.QuiescentAmperes / (root * root * root);

        i[0] = p * (current + quiescent);
        i[1] = p * (Bleed * vo - current);
        i[2] = -p * (quiescent + Bleed * vo);
        g[0] = byIn + quiescentSlope; g[1] = byOut; g[2] = -g[0] - g[1];
        g[3] = -byIn; g[4] = Bleed - byOut; g[5] = -g[3] - g[4];
        g[6] = -quiescentSlope; g[7] = -Bleed; g[8] = quiescentSlope + Bleed;
        return drive != seen;
    }
}
