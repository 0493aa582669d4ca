using System.Collections.Immutable;
using System.Globalization;
using Bellwire.Circuits;
using Bellwire.Sheets;

namespace Bellwire.Counsel;

/// <summary>What a foreign source does between two nodes of a circuit.</summary>
/// <param name="Hurt">In the order in which they are taken beyond what they bear; what has no instant comes last, worst first.</param>
/// <param name="Unjudged">Parts of which nothing is known that they bear; sources are not counted.</param>
/// <param name="Failure">Why nothing can be said, or null.</param>
/// <param name="Breaks">Why the order goes no further than it does, or null.</param>
public sealed record ForeignOutcome(string Circuit, string From, string To, ForeignSource Source, ImmutableArray<HurtPart> Hurt, int Unjudged, string? Failure, string? Breaks = null)
{
    /// <summary>One sentence: what is hurt first, and where in the set that is.</summary>
    public string Says => Failure is { } why ? $"Not known: {why}"
        : Hurt.IsEmpty ? "No part that is judged here is taken beyond what it bears. That is no leave to connect it."
        : $"First {Hurt[0].What}: {Hurt[0].When}.{(Places.IsEmpty ? "" : $" Hurt in all: {string.Join("; ", Places)}.")}";

    /// <summary>What gives way, in the order of time, each as though the source stayed tied on: "resistor RD1, 22 Ω, burns open after 8 ms".</summary>
    public ImmutableArray<string> Order => [.. from h in Hurt from end in h.Ends orderby end.AtSeconds select $"{h.What}, {h.End(end)}"];

    /// <summary>How near the worst part came to what it bears, or how far past it; null when no part is judged.</summary>
    public string? Margin { get; init; }

    /// <summary>Places of the set that are hurt, first to last.</summary>
    public ImmutableArray<string> Places => [.. Hurt.SelectMany(h => h.Sites).Distinct()];
}

/// <summary>Foreign sources tried on the circuits of a sheet.</summary>
public static class ForeignTrial
{
    /// <summary>How long a source is tied on, s; what takes longer is reckoned on from the mean of that time.</summary>
    public const double UsualSeconds = 0.25, MostSeconds = 10;

    /// <summary>Said beside every result.</summary>
    public static ImmutableArray<string> Cautions { get; } =
    [
        "Never make such a connection to try it. This is reckoned from the sheet’s parts, not from this set. How parts give way – semiconductors short first, all else opens – is common practice; times are rough.",
        "What may be connected: own wires, own transformer, own chime. Nothing hurt here is no leave; what is not in this circuit is not judged.",
        "A foreign transformer may stay live with this breaker off. Line voltage and wall boxes are for those licensed for them, by the local code.",
    ];

    /// <summary>Ties a source between two nodes of the settled circuit and lets time run.</summary>
    /// <param name="from">Node of the source's plus; <paramref name="to"/> of its minus.</param>
    /// <param name="seconds">Above 0, at most <see cref="MostSeconds"/>.</param>
    /// <param name="sheet">Where the circuit stands; null for one of its own, of which no site is known.</param>
    /// <exception cref="ArgumentException">No such node, or the two are one.</exception>
    /// <exception cref="OperationCanceledException">Cancelled between two steps.</exception>
    public static ForeignOutcome Try(TypeSheet? sheet, CircuitSpec circuit, string from, string to, ForeignSource source, double seconds = UsualSeconds, CancellationToken cancel = default)
    {
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
            var run = WrongConnection.Try(circuit.Netlist, from, to, wave, source.Ohms, seconds, before, cancel, reckonOn: true);
            return run.Value is { } done ? new(circuit.Id, from, to, source, Hurt(sheet, circuit, done), unjudged, null, Breaks(done)) { Margin = Margin(circuit, done) } : new(circuit.Id, from, to, source, [], unjudged, run.Failure!.Words);
        }

        static double Harm(ForeignOutcome o) => o.Hurt.Select(h => h.Worst).DefaultIfEmpty(0).Max();
    }

    private static ImmutableArray<HurtPart> Hurt(TypeSheet? sheet, CircuitSpec circuit, WrongConnection done) =>
        [.. done.Events.Select(e => e.Part).Concat(done.Gone.Select(g => g.Part)).Distinct().Where(circuit.Netlist.Has).Select(p => Part(sheet, circuit, done, p))
            .OrderBy(h => h.AtSeconds ?? double.PositiveInfinity).ThenByDescending(h => h.Worst)];

    private static string? Margin(CircuitSpec circuit, WrongConnection done)
    {
        if (done.Borne.FirstOrDefault(b => circuit.Netlist.Has(b.Part)) is not { } worst) return null;
        var part = PartWords.Of(circuit.Netlist[worst.Part]);
        return worst.Ratio > 1 ? $"The worst is {part}: {HurtPart.Said(worst)}."
            : string.Create(CultureInfo.InvariantCulture, $"Nearest to what it bears is {part}, at {100 * worst.Ratio:0} % of its {HurtPart.Word(worst.What)}.");
    }

    private static string? Breaks(WrongConnection done) => done.Stuck is { } stuck ? $"What is left of the circuit after that was not followed. {stuck.Words}"
        : done.LeftAtThat ? $"{WrongConnection.MostGone} parts have given way: it was left at that." : null;

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

    private static HurtPart Part(TypeSheet? sheet, CircuitSpec circuit, WrongConnection done, string part)
    {
        var device = circuit.Netlist[part];
        var sites = sheet is null ? [] : circuit.Troubles.Where(t => t.Variants.Any(v => v.Any(f => f.Part == part))).SelectMany(t => TroubleWords.Places(sheet, t.When)).Distinct();
        ImmutableArray<Overload> strains = [.. done.Events.Where(e => e.Part == part)];
        ImmutableArray<GivingWay> ends = [.. done.Gone.Where(g => g.Part == part)];
        return new(part, PartWords.Of(device), [.. sites], strains, ends, strains.Select(s => s.AtSeconds).Concat(ends.Select(e => (double?)e.AtSeconds)).Min(),
            Spared: ends.IsEmpty && device.Ratings?.JoulesToDamage is not null && done is { Stuck: null, LeftAtThat: false });
    }
}
