using System.Collections.Immutable;
using System.Numerics;
using Bellwire.Circuits.Solving;

namespace Bellwire.Circuits;

/// <summary>The small-signal response to one source, around the operating point.</summary>
public sealed class FrequencySweep
{
    private readonly Assembly _assembly;
    private readonly Complex[][] _unknowns;

    private FrequencySweep(Assembly assembly, ImmutableArray<double> hertz, Complex[][] unknowns, OperatingPoint around) =>
        (_assembly, Hertz, _unknowns, Around) = (assembly, hertz, unknowns, around);

    public ImmutableArray<double> Hertz { get; }

    /// <summary>Where everything nonlinear was replaced by its slope.</summary>
    public OperatingPoint Around { get; }

    /// <summary>Sweeps one voltage or current source at an amplitude of one (V or A); all other sources are steady.</summary>
    /// <param name="source">Name of the source that moves.</param>
    /// <param name="hertz">Frequencies, each above 0.</param>
    /// <exception cref="ArgumentException">No such source, no frequency, or the wiring has complaints.</exception>
    public static Outcome<FrequencySweep> Solve(Netlist netlist, string source, IEnumerable<double> hertz)
    {
        if (netlist[source] is not (VoltageSource or CurrentSource)) throw new ArgumentException($"{source} is a {netlist[source].GetType().Name}; only a source can be swept.", nameof(source));
        ImmutableArray<double> at = [.. hertz.Select(h => Ranged.Positive(h, "hertz"))];
        if (at.IsEmpty) throw new ArgumentException("A sweep needs a frequency.", nameof(hertz));
        var direct = OperatingPoint.Solve(netlist);
        if (direct.Value is not { } around) return direct.Failure!;
        var assembly = new Assembly(netlist);
        var sweeper = new SmallSignal(assembly, around.Unknowns, source);
        var unknowns = new Complex[at.Length][];
        for (var k = 0; k < at.Length; k++)
            if ((unknowns[k] = sweeper.At(at[k])!) is null) return new NotConverged("of the sweep", double.NaN, ["linear solution"]);
        return new FrequencySweep(assembly, at, unknowns, around);
    }

    /// <summary>Frequencies evenly spread on a logarithmic scale, ends included.</summary>
    public static IEnumerable<double> Decades(double from, double to, int points) =>
        Enumerable.Range(0, points).Select(k => from * Math.Pow(to / from, points == 1 ? 0 : k / (points - 1.0)));

    /// <summary>Volts at a node for one volt (or ampere) of the source, as a phasor, at each frequency.</summary>
    public ImmutableArray<Complex> Response(string node, string against = Netlist.Ground)
    {
        var (a, b) = (_assembly.IndexOf(node), _assembly.IndexOf(against));
        return [.. _unknowns.Select(x => x[a] - x[b])];
    }

    /// <summary>20·log10 of the response's size.</summary>
    public ImmutableArray<double> Decibels(string node, string against = Netlist.Ground) => [.. Response(node, against).Select(z => 20 * Math.Log10(z.Magnitude))];
}
