using System.Collections.Immutable;
using Bellwire.Circuits;
using Bellwire.Sheets;

namespace Bellwire.Counsel;

/// <summary>What a foreign source does between two nodes of a circuit.</summary>
/// <param name="Hurt">In the order in which they are taken beyond what they bear; what has no instant comes last, worst first.</param>
/// <param name="Unjudged">Parts of which nothing is known that they bear; sources are not counted.</param>
/// <param name="Failure">Why nothing can be said, or null.</param>
public sealed record ForeignOutcome(string Circuit, string From, string To, ForeignSource Source, ImmutableArray<HurtPart> Hurt, int Unjudged, string? Failure)
{
    /// <summary>One sentence: what is hurt first, and where in the set that is.</summary>
    public string Says => Failure is { } why ? $"Not known: {why}"
        : Hurt.IsEmpty ? "No part that is judged here is taken beyond what it bears. That is no leave to connect it."
        : $"First {Hurt[0].What}: {Hurt[0].When}.{(Places.IsEmpty ? "" : $" Hurt in all: {string.Join("; ", Places)}.")}";

    /// <summary>Places of the set that are hurt, first to last.</summary>
    public ImmutableArray<string> Places => [.. Hurt.SelectMany(h => h.Sites).Distinct()];
}

/// <summary>Foreign sources tried on the circuits of a sheet.</summary>
public static class ForeignTrial
{
    /// <summary>How long a source is tied on, s; what takes longer is reckoned on from the mean of that time.</summary>
    public const double UsualSeconds = 0.25, MostSeconds = 10;

    /// <summary>Below so many times its watts a part may last for ever: no end is reckoned (common practice, no source).</summary>
    private const double Lasts = 2;

    /// <summary>Said beside every result.</summary>
    public static ImmutableArray<string> Cautions { get; } =
    [
        "Never make such a connection to try it. This is reckoned from the sheet’s parts, not from this set, and each part as though those before it had stayed whole.",
        "What may be connected: own wires, own transformer, own chime. Nothing hurt here is no leave; what is not in this circuit is not judged.",
        "A foreign transformer may stay live with this breaker off. Line voltage and wall boxes are for those licensed for them, by the local code.",
    ];

    /// <summary>Ties a source between two nodes of the settled circuit and lets time run.</summary>
    /// <param name="from">Node of the source's plus; <paramref name="to"/> of its minus.</param>
    /// <param name="seconds">Above 0, at most <see cref="MostSeconds"/>.</param>
    /// <exception cref="ArgumentException">No such node, or the two are one.</exception>
    /// <exception cref="OperationCanceledException">Cancelled between two steps.</exception>
    public static ForeignOutcome Try(TypeSheet sheet, CircuitSpec circuit, string from, string to, ForeignSource source, double seconds = UsualSeconds, CancellationToken cancel = default)
    {
        ArgumentNullException.ThrowIfNull(sheet);
        ArgumentNullException.ThrowIfNull(circuit);
        ArgumentNullException.ThrowIfNull(source);
        if (!(seconds > 0 && seconds <= MostSeconds)) throw new ArgumentOutOfRangeException(nameof(seconds), seconds, $"A source is tied on for more than 0 and at most {MostSeconds} s.");
        if (from == to) throw new ArgumentException($"A source is tied between two nodes that differ; both are {from}.", nameof(to));
        var before = SteadyState.Solve(circuit.Netlist).Value;
        var unjudged = circuit.Netlist.Devices.Count(d => d is not (VoltageSource or CurrentSource or Fuse) && d.Ratings is null);
        var worst = Run(source.Waveform);
        // Beside alternating volts of the set's own the foreign ones may stand either way round, and nobody knows which.
        if (worst.Failure is null && source.IsAlternating && circuit.Netlist.Devices.OfType<VoltageSource>().Any(v => v.Waveform is Sine))
        {
            var other = Run(new Sine(source.Volts, source.Hertz, 180));
            if (other.Failure is null && Harm(other) > Harm(worst)) worst = other;
        }
        return worst;

        ForeignOutcome Run(Waveform wave)
        {
            var run = WrongConnection.Try(circuit.Netlist, from, to, wave, source.Ohms, seconds, before, cancel);
            return run.Value is { } done ? new(circuit.Id, from, to, source, Hurt(sheet, circuit, done), unjudged, null) : new(circuit.Id, from, to, source, [], unjudged, run.Failure!.Words);
        }

        static double Harm(ForeignOutcome o) => o.Hurt.Select(h => h.Worst).DefaultIfEmpty(0).Max();
    }

    private static ImmutableArray<HurtPart> Hurt(TypeSheet sheet, CircuitSpec circuit, WrongConnection done) =>
        [.. done.Events.Where(e => circuit.Netlist.Has(e.Part)).GroupBy(e => e.Part).Select(g => Part(sheet, circuit, [.. g]))
            .OrderBy(h => h.AtSeconds ?? double.PositiveInfinity).ThenByDescending(h => h.Worst)];

    /// <summary>The usual sources, one after another.</summary>
    public static ImmutableArray<ForeignOutcome> Usual(TypeSheet sheet, CircuitSpec circuit, string from, string to, IProgress<ForecastProgress>? progress = null, CancellationToken cancel = default)
    {
        var all = ImmutableArray.CreateBuilder<ForeignOutcome>();
        foreach (var source in ForeignSource.Usual)
        {
            progress?.Report(new(all.Count, ForeignSource.Usual.Length, source.Words));
            all.Add(Try(sheet, circuit, from, to, source, UsualSeconds, cancel));
        }
        return all.ToImmutable();
    }

    private static HurtPart Part(TypeSheet sheet, CircuitSpec circuit, ImmutableArray<Overload> strains)
    {
        var device = circuit.Netlist[strains[0].Part];
        var sites = circuit.Troubles.Where(t => t.Variants.Any(v => v.Any(f => f.Part == device.Name))).SelectMany(t => TroubleWords.Places(sheet, t.When)).Distinct();
        var at = strains.Min(s => s.AtSeconds);
        var hot = strains.FirstOrDefault(s => s.What == Strain.Watts && s.Ratio >= Lasts);
        var extended = at is null && hot is not null && device.Ratings!.JoulesToDamage is not null;
        if (extended) at = device.Ratings!.JoulesToDamage / (hot!.Actual - hot.Allowed);
        return new(device.Name, PartWords.Of(device), [.. sites], strains, at, extended);
    }
}
