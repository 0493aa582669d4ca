using System.Collections.Immutable;
using Bellwire.Circuits.Solving;

namespace Bellwire.Circuits;

/// <summary>
/// An operational amplifier: gain with one pole, swing limited short of its rails, output resistance; what it delivers
/// it takes from its rails, and its quiescent current as soon as there is a volt or more between them. Pins: plus, minus, output, positive rail, negative rail.
/// Swing: mid + half·y/√(1 + y²), y = gain·(v+ − v−)/half, half = (rails − 2·short)/2.
/// </summary>
public sealed record OpAmp : Device
{
    /// <param name="gain">Open-loop gain, above 0.</param>
    /// <param name="unityHertz">Gain-bandwidth product, Hz.</param>
    public OpAmp(string name, string plus, string minus, string output, string positive, string negative, double gain = 1e5, double unityHertz = 1e6) : base(name, plus, minus, output, positive, negative) =>
        (Gain, UnityHertz) = (gain, unityHertz);

    public double Gain { get; init => field = Ranged.Positive(value, "gain"); }
    public double UnityHertz { get; init => field = Ranged.Positive(value, "unity hertz"); }

    /// <summary>How near the output comes to each rail, V.</summary>
    public double ShortOfRailVolts { get; init => field = Ranged.NotNegative(value, "swing lost"); } = 1.5;

    /// <summary>Ω, above 0.</summary>
    public double OutputOhms { get; init => field = Ranged.Positive(value, "output ohms"); } = 75;

    /// <summary>A, from the positive to the negative rail.</summary>
    public double QuiescentAmperes { get; init => field = Ranged.NotNegative(value, "quiescent amperes"); } = 1.5e-3;

    public override IEnumerable<Fault> UsualFaults => [new Open(Name, 2), new LowGain(Name, 0.01)];
    public override ImmutableArray<string> Pins => ["plus", "minus", "output", "positive rail", "negative rail"];
    public override IEnumerable<(int From, int To)> DirectPaths => [(2, 3), (2, 4), (3, 4)];

    internal override void Export(SpiceText t)
    {
        var (plus, minus, output, high, low, pole) = (t.Node(Nodes[0]), t.Node(Nodes[1]), t.Node(Nodes[2]), t.Node(Nodes[3]), t.Node(Nodes[4]), t.Inner("pole"));
        var half = $"max((v({high})-v({low}))/2-{SpiceText.N(ShortOfRailVolts)},0.05)";
        var y = $"({SpiceText.N(Gain)}*(v({plus})-v({minus}))/{half})";
        var delivered = $"((v({pole})-v({output}))/{SpiceText.N(OutputOhms)})";
        var source = $"(0.5*({delivered}+sqrt({delivered}*{delivered}+1e-10)))";
        t.C(pole, "0", Gain / (2 * Math.PI * UnityHertz));
        t.R(pole, "0", 1);
        t.B("0", pole, $"(v({high})+v({low}))/2+{half}*{y}/sqrt(1+{y}*{y})");
        t.B("0", output, delivered);
        var rails = $"(v({high})-v({low}))";
        var idle = $"{SpiceText.N(QuiescentAmperes)}*{rails}/sqrt({rails}*{rails}+1)";
        t.B(high, "0", $"{source}+{idle}");
        t.B(low, "0", $"{delivered}-{source}-{idle}");
    }

    internal override void Install(Assembly into)
    {
        var pole = into.Unknown($"{Name}#pole");
        var n = Enumerable.Range(0, Nodes.Length).Select(into.Pin).ToArray();
        into.Add(new OpAmpElement(this, [.. n, pole]));
        // 1 S at the pole node makes its voltage the output wanted; this capacitance makes the gain fall through 1 at UnityHertz.
        into.Capacitive(Name, pole, into.Ground, Gain / (2 * Math.PI * UnityHertz), 0);
    }
}

internal sealed class OpAmpElement(OpAmp a, Terminal[] nodes) : Nonlinear(a.Name, nodes)
{
    public override int Memory => 1;

    public override bool Evaluate(ReadOnlySpan<double> v, Span<double> i, Span<double> g, Span<double> memory, bool limit)
    {
        const int Plus = 0, Minus = 1, Out = 2, High = 3, Low = 4, Pole = 5, Wide = 6;
        g.Clear();
        i.Clear();
        var half = Math.Max((v[High] - v[Low]) / 2 - a.ShortOfRailVolts, 0.05);
        var halfSlope = half > 0.05 ? 0.5 : 0;
        var seen = a.Gain * (v[Plus] - v[Minus]) / half;
        var y = seen;
        if (limit)
        {
            if (memory[0] * seen < 0 && Math.Min(Math.Abs(memory[0]), Math.Abs(seen)) > 3) y = 0; // rail to rail in one stride: stop in between
        }
        memory[0] = y;
        var root = Math.Sqrt(1 + y * y);
        var swing = half * y / root;
        var byInput = a.Gain / (root * root * root);
        var byHalf = y / root - y / (root * root * root);
        i[Pole] = v[Pole] - (v[High] + v[Low]) / 2 - swing - byInput * half / a.Gain * (seen - y);
        g[Pole * Wide + Pole] = 1;
        g[Pole * Wide + Plus] = -byInput;
        g[Pole * Wide + Minus] = byInput;
        g[Pole * Wide + High] = -0.5 - byHalf * halfSlope;
        g[Pole * Wide + Low] = -0.5 + byHalf * halfSlope;

        // What leaves the output comes from the rail on its side; the pole node only commands.
        var delivered = (v[Pole] - v[Out]) / a.OutputOhms;
        var slope = 1 / a.OutputOhms;
        var source = Smooth.Above(delivered, 1e-5, out var share);
        i[Out] = -delivered;
        g[Out * Wide + Out] = slope;
        g[Out * Wide + Pole] = -slope;
        // Without a supply a chip draws nothing: a constant current would pull a dead rail far below common.
        var rails = v[High] - v[Low];
        var awake = Math.Sqrt(rails * rails + 1);
        var (idle, idleSlope) = (a.QuiescentAmperes * rails / awake, a.QuiescentAmperes / (awake * awake * awake));
        i[High] = source + idle;
        i[Low] = delivered - source - idle;
        g[High * Wide + Pole] = share * slope;
        g[High * Wide + Out] = -share * slope;
        g[High * Wide + High] = idleSlope;
        g[High * Wide + Low] = -idleSlope;
        g[Low * Wide + Pole] = (1 - share) * slope;
        g[Low * Wide + Out] = -(1 - share) * slope;
        g[Low * Wide + High] = -idleSlope;
        g[Low * Wide + Low] = idleSlope;
        return y != seen;
    }
}
