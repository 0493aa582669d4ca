using System.Collections.Immutable;
using Bellwire.Circuits.Solving;

namespace Bellwire.Circuits;

/// <summary>What a circuit does from one instant on: switching on, a wrong connection, a button pressed.</summary>
public sealed class Transient
{
    private readonly Assembly _assembly;
    private readonly Recording _record;

    internal Transient(Netlist netlist, Assembly assembly, Recording record, ImmutableDictionary<string, ImmutableArray<double>> end, HowGot how) =>
        (Netlist, _assembly, _record, End, How) = (netlist, assembly, record, end, how);

    public Netlist Netlist { get; }
    public HowGot How { get; }

    /// <summary>Capacitor volts and coil amperes of each part at the end.</summary>
    internal ImmutableDictionary<string, ImmutableArray<double>> End { get; }

    /// <summary>Runs in time.</summary>
    /// <exception cref="ArgumentException">The wiring has complaints.</exception>
    /// <exception cref="OperationCanceledException">Cancelled between steps.</exception>
    public static Outcome<Transient> Run(Netlist netlist, TransientOptions options, CancellationToken cancel = default)
    {
        var assembly = new Assembly(netlist);
        var stepper = new Stepper(assembly) { KeepAmperes = true };
        var start = new double[stepper.States];
        if (options.Start == TransientStart.Settled)
        {
            var (how, failure) = DirectSolver.Settle(stepper.Equations, DirectSolver.At(options.FromSeconds));
            if (how is null) return failure!;
            stepper.Adopt(start);
            stepper.Restart();
        }
        if (options.States is { } known)
            for (var (k, seen) = (0, new Dictionary<string, int>()); k < start.Length; k++)
            {
                var name = stepper.StateName(k);
                var n = seen[name] = seen.GetValueOrDefault(name) + 1;
                if (known.TryGetValue(name, out var values) && n <= values.Length) start[k] = values[n - 1];
            }
        start.CopyTo(stepper.S, 0);
        var record = new Recording(assembly, amperes: true);
        var time = new Adaptive(stepper, options.Tolerance, options.LongestStep ?? options.Seconds / 100) { Cancel = cancel };
        var corners = assembly.Branches.Where(b => b.Source is not null).SelectMany(b => b.Source!.Corners).Where(t => t > options.FromSeconds).Order().ToList();
        if (!time.Go(options.FromSeconds, options.FromSeconds + options.Seconds, record, corners))
            return new NotConverged(time.Stuck.Unknown >= 0 && time.Stuck.Unknown < assembly.Count ? assembly.Names[time.Stuck.Unknown] : "of the run", double.NaN, ["adaptive steps"], time.Stuck.Seconds);
        var end = Enumerable.Range(0, stepper.States).GroupBy(stepper.StateName).ToImmutableDictionary(g => g.Key, g => g.Select(k => stepper.S[k]).ToImmutableArray());
        return new Transient(netlist, assembly, record, end, new("adaptive steps", stepper.Iterations, 0, ["adaptive steps"]));
    }

    /// <summary>V of a node against another from start to end.</summary>
    public Wave Volts(string node, string against = Netlist.Ground) => _record.Volts(_assembly.IndexOf(node), _assembly.IndexOf(against));

    /// <summary>A into a pin of a part (0 = the first).</summary>
    public Wave Amperes(string device, int pin = 0) => _record.Amperes(Netlist[device], pin);

    /// <summary>W taken by a part.</summary>
    public Wave Watts(string device) => _record.Watts(Netlist[device]);
}
