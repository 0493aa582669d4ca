using System.Collections.Immutable;
using Bellwire.Circuits.Solving;
using Bellwire.Circuits.Tolerances;

namespace Bellwire.Circuits;

/// <summary>A voltage source, plus pin first; with its own resistance or ideal (0 Ω).</summary>
public sealed record VoltageSource : TwoTerminal
{
    /// <param name="ohms">Source resistance, Ω, 0 or more.</param>
    public VoltageSource(string name, string plus, string minus, Waveform waveform, double ohms = 0) : base(name, plus, minus) => (Waveform, Ohms) = (waveform, ohms);

    public VoltageSource(string name, string plus, string minus, double volts, double ohms = 0) : this(name, plus, minus, new Steady(volts), ohms) { }

    public Waveform Waveform { get; init; }
    public double Ohms { get; init => field = Ranged.NotNegative(value, "source ohms"); }

    /// <summary>Relative spread of the voltage of a steady or sine source.</summary>
    public double Tolerance { get; init; }
    public override ImmutableArray<string> Pins => ["+", "−"];
    public override bool IsIdealVoltage => Ohms == 0;

    public override Device Drawn(Draw draw) => Tolerance == 0 ? this : this with { Waveform = Scaled(Waveform, draw.Value(1, Tolerance)) };

    internal static Waveform Scaled(Waveform w, double by) => w switch
    {
        Steady s => new Steady(s.Value * by),
        Sine s => new Sine(s.Rms * by, s.Hertz, s.PhaseDegrees, s.Offset * by),
        Step s => new Step(s.From * by, s.To * by, s.AtSeconds, s.RiseSeconds),
        _ => w,
    };

    internal override void Export(SpiceText t)
    {
        var plus = Ohms > 0 ? t.Inner("emf") : t.Node(Nodes[0]);
        t.V(plus, t.Node(Nodes[1]), Waveform, main: true);
        if (Ohms > 0) t.R(t.Node(Nodes[0]), plus, Ohms);
    }

    internal override void Install(Assembly into)
    {
        var (a, b) = (into.Pin(0), into.Pin(1));
        if (Ohms == 0) into.Ideal(Name, a, b, Waveform);
        else into.Resistive(Name, a, b, Ohms, Waveform);
    }
}

/// <summary>A current source; the current leaves the first pin's node, passes through the source and enters the second's.</summary>
public sealed record CurrentSource : TwoTerminal
{
    public CurrentSource(string name, string from, string to, Waveform waveform) : base(name, from, to) => Waveform = waveform;
    public CurrentSource(string name, string from, string to, double amperes) : this(name, from, to, new Steady(amperes)) { }
    public Waveform Waveform { get; init; }
    public override ImmutableArray<string> Pins => ["from", "to"];
    public override IEnumerable<(int From, int To)> DirectPaths => [];
    internal override void Export(SpiceText t) => t.I(t.Node(Nodes[0]), t.Node(Nodes[1]), Waveform);

    internal override void Install(Assembly into) => into.Injected(Name, into.Pin(0), into.Pin(1), Waveform);
}
