using System.Collections.Immutable;

namespace Bellwire.Circuits;

/// <summary>A foreign source on two terminals of a circuit: which parts go beyond their ratings, by how much and in what order.</summary>
public sealed class WrongConnection
{
    private WrongConnection(ImmutableArray<Overload> events, Netlist end) => (Events, End) = (events, end);

    /// <summary>First passings of ratings in the order of time; then what is judged over the whole run (RMS, mean watts), worst first.</summary>
    public ImmutableArray<Overload> Events { get; }

    /// <summary>The circuit at the end, with fuses that melted open.</summary>
    public Netlist End { get; }

    /// <summary>Ties a source between two nodes and lets time run. A fuse that melts opens and the rest goes on without it.</summary>
    /// <param name="from">Node of the source's plus.</param>
    /// <param name="to">Node of its minus.</param>
    /// <param name="ohms">The source's own resistance, Ω, above 0.</param>
    /// <param name="seconds">How long it stays connected.</param>
    /// <param name="before">The state of the circuit before; null: at rest.</param>
    /// <exception cref="ArgumentException">No such node, or the wiring has complaints.</exception>
    public static Outcome<WrongConnection> Try(Netlist circuit, string from, string to, Waveform source, double ohms, double seconds, SteadyState? before = null, CancellationToken cancel = default)
    {
        Ranged.Positive(ohms, "source ohms");
        foreach (var node in new[] { from, to })
            if (!circuit.Nodes.Contains(node)) throw new ArgumentException($"There is no node {node}; there are {string.Join(", ", circuit.Nodes)}.", nameof(circuit));
        var now = circuit.With(new VoltageSource(circuit.FreshName("FOREIGN"), from, to, source, ohms));
        var longest = 1 / (100 * now.Devices.OfType<VoltageSource>().Select(v => v.Waveform.RepeatsHertz ?? 0).Append(1 / seconds).Max());
        var states = before?.StatesByPart();
        var heat = new HeatAccount();
        var events = new List<Overload>();
        var at = 0.0;
        while (true)
        {
            var options = new TransientOptions(seconds - at) { FromSeconds = at, LongestStep = longest, Tolerance = 1e-4, States = states };
            var run = Settle(now, options, cancel);
            if (run.Value is not { } t) return run.Failure!;
            var melting = heat.FirstToMelt(t, now, at);
            if (melting is { } m && m.AtSeconds < seconds)
            {
                // Up to the melting once more, so that the states are those of that instant.
                run = Settle(now, options with { Seconds = Math.Max(m.AtSeconds!.Value - at, 1e-9) }, cancel);
                if (run.Value is not { } part) return run.Failure!;
                events.AddRange(heat.Passings(part, now));
                events.Add(m);
                heat.Carry(part, now);
                (at, states, now) = (m.AtSeconds.Value, part.End, now.Faulted(new Open(m.Part)));
                if (seconds - at > 1e-6) continue;
                break;
            }
            events.AddRange(heat.Passings(t, now));
            events.AddRange(now.Devices.SelectMany(d => Stress.Of(d, (a, b) => t.Volts(a, b), pin => t.Amperes(d.Name, pin), () => t.Watts(d.Name)))
                .Where(o => o.What is Strain.Amperes or Strain.Watts).OrderByDescending(o => o.Ratio));
            break;
        }
        return new WrongConnection([.. events.Where(e => e.AtSeconds is not null).OrderBy(e => e.AtSeconds).DistinctBy(e => (e.Part, e.What)), .. events.Where(e => e.AtSeconds is null)], now);
    }

    /// <summary>A run, and where it sticks once more in finer steps: far beyond their ratings junctions turn so fast that a step's tangent may miss them.</summary>
    private static Outcome<Transient> Settle(Netlist now, TransientOptions options, CancellationToken cancel)
    {
        var run = Transient.Run(now, options, cancel);
        for (var finer = 4.0; run.Value is null && finer <= 64; finer *= 4) run = Transient.Run(now, options with { LongestStep = options.LongestStep / finer }, cancel);
        return run;
    }
}
