using System.Collections.Immutable;

namespace Bellwire.Circuits;

/// <summary>A foreign source on two terminals of a circuit: which parts go beyond their ratings, by how much and in what order, and which give way.</summary>
public sealed class WrongConnection
{
    /// <summary>Parts that give way at most before it is left at that.</summary>
    public const int MostGone = Burning.Most;

    private WrongConnection(Burning run, Netlist whole)
    {
        var strains = run.Strains(whole);
        Events = [.. strains.Where(s => s.AtSeconds is not null).OrderBy(s => s.AtSeconds), .. strains.Where(s => s.AtSeconds is null && s.Ratio > 1)];
        Borne = [.. strains.Where(s => s.What is not (Strain.Heat or Strain.Melts)).GroupBy(s => s.Part).Select(g => g.MaxBy(s => s.Ratio)!).OrderByDescending(s => s.Ratio)];
        (Gone, End, Stuck, LeftAtThat) = (run.Gone, run.End, run.Stuck, run.LeftAtThat);
    }

    /// <summary>First passings of ratings in the order of time; then what is judged over a stage (RMS, mean watts), worst first. A part is judged until it gives way.</summary>
    public ImmutableArray<Overload> Events { get; }

    /// <summary>For each part that is judged the strain that comes nearest to what it bears, or is furthest past it; worst first.</summary>
    public ImmutableArray<Overload> Borne { get; }

    /// <summary>Parts that give way, in the order of time; a semiconductor may stand here twice.</summary>
    public ImmutableArray<GivingWay> Gone { get; }

    /// <summary>The circuit at the end, with what gave way open or shorted.</summary>
    public Netlist End { get; }

    /// <summary>Where the circuit of what was left found no solution: the order goes no further. Null when it did.</summary>
    public NotConverged? Stuck { get; }

    /// <summary>True when so many parts gave way that it was left at that.</summary>
    public bool LeftAtThat { get; }

    /// <summary>Ties a source between two nodes and lets time run. What gives way opens or shorts (<see cref="Ending"/>) and the rest goes on without it.</summary>
    /// <param name="from">Node of the source's plus.</param>
    /// <param name="to">Node of its minus.</param>
    /// <param name="ohms">The source's own resistance, Ω, above 0.</param>
    /// <param name="seconds">How long it is run through.</param>
    /// <param name="before">The state of the circuit before; null: at rest.</param>
    /// <param name="reckonOn">After that reckon on from means what else gives way, until nothing does.</param>
    /// <exception cref="ArgumentException">No such node, or the wiring has complaints.</exception>
    public static Outcome<WrongConnection> Try(Netlist circuit, string from, string to, Waveform source, double ohms, double seconds, SteadyState? before = null, CancellationToken cancel = default, bool reckonOn = false)
    {
        Ranged.Positive(ohms, "source ohms");
        foreach (var node in new[] { from, to })
            if (!circuit.Nodes.Contains(node)) throw new ArgumentException($"There is no node {node}; there are {string.Join(", ", circuit.Nodes)}.", nameof(circuit));
        var now = circuit.With(new VoltageSource(circuit.FreshName("FOREIGN"), from, to, source, ohms));
        var longest = 1 / (100 * now.Devices.OfType<VoltageSource>().Select(v => v.Waveform.RepeatsHertz ?? 0).Append(1 / seconds).Max());
        // Some 50 ms, in whole periods of the foreign source: a mean over a part of a swing says little.
        var window = source.RepeatsHertz is { } hertz and > 0 ? Math.Ceiling(0.05 * hertz - 1e-9) / hertz : 0.05;
        var run = new Burning(now, seconds, longest, window, reckonOn, cancel);
        return run.Go(before?.StatesByPart()) is { } failure ? failure : new WrongConnection(run, circuit);
    }
}
