using System.Collections.Immutable;
using Bellwire.Circuits.Solving;

namespace Bellwire.Circuits;

/// <summary>One period of a circuit that has settled: line-driven supplies, amplifiers with a tone.</summary>
public sealed class SteadyState
{
    private readonly Assembly _assembly;
    private readonly Recording _record;

    internal SteadyState(Netlist netlist, Assembly assembly, Recording record, double[] states, double period, ImmutableArray<double> mesh, double[] monodromy, HowGot how)
    {
        (Netlist, _assembly, _record, States, PeriodSeconds, Mesh, Monodromy, How) = (netlist, assembly, record, states, period, mesh, monodromy, how);
    }

    public Netlist Netlist { get; }

    /// <summary>The time after which all sources repeat together, s.</summary>
    public double PeriodSeconds { get; }

    /// <summary>Residual: the last Newton correction of the states at the start of the period, relative to the states.</summary>
    public HowGot How { get; }

    internal double[] States { get; }
    internal Recording Record => _record;
    internal ImmutableArray<double> Mesh { get; }

    /// <summary>∂S(T)/∂S(0), column by column.</summary>
    internal double[] Monodromy { get; }

    /// <summary>The n-th state (capacitor volts, coil amperes) of a part at the start of the period; null when it has fewer.</summary>
    internal double? InitialOf(string device, int n)
    {
        var state = -1;
        foreach (var b in _assembly.Branches)
        {
            if (!b.HasState) continue;
            state++;
            if (b.Device == device && n-- == 0) return States[state];
        }
        return null;
    }

    /// <summary>States at the start of the period, by part.</summary>
    internal ImmutableDictionary<string, ImmutableArray<double>> StatesByPart() =>
        _assembly.Branches.Where(b => b.HasState).Select((b, k) => (b.Device, Value: States[k])).GroupBy(x => x.Device).ToImmutableDictionary(g => g.Key, g => g.Select(x => x.Value).ToImmutableArray());

    /// <summary>Finds the periodic steady state by shooting.</summary>
    /// <exception cref="ArgumentException">The wiring has complaints, a source never repeats, or the sources share no period of 2 s or less.</exception>
    public static Outcome<SteadyState> Solve(Netlist netlist, SteadyOptions? options = null) => PeriodicSolver.Solve(netlist, options ?? SteadyOptions.Usual);

    /// <summary>V of a node against another over one period.</summary>
    /// <exception cref="ArgumentException">No such node.</exception>
    public Wave Volts(string node, string against = Netlist.Ground) => _record.Volts(_assembly.IndexOf(node), _assembly.IndexOf(against));

    /// <summary>A into a pin of a part (0 = the first) over one period.</summary>
    /// <exception cref="ArgumentException">No such part or pin.</exception>
    public Wave Amperes(string device, int pin = 0) => _record.Amperes(Netlist[device], pin);

    /// <summary>W taken by a part at each instant; its mean is the mean power.</summary>
    public Wave Watts(string device) => _record.Watts(Netlist[device]);
}
