using System.Collections.Concurrent;
using System.Collections.Immutable;
using System.Runtime.CompilerServices;
using Bellwire.Circuits;
using Bellwire.Sheets;
using Bellwire.Workshop;

namespace Bellwire.Counsel;

/// <summary>A circuit at other line volts than the sheet's.</summary>
/// <param name="Volts">RMS, whole volts, above 0.</param>
/// <param name="ByReading">Told by an AC reading beside, not by what was said when the power came on.</param>
public readonly record struct AtLine(CircuitSpec Circuit, int Volts, bool ByReading = false);

/// <summary>
/// The line volts each hook-up stood at, from switching on to switching on: what was said then, unless an AC reading of the winding
/// beside it does not fit. Where nothing was said the circuit keeps the line of the sheet with its tolerance.
/// </summary>
public sealed class LineVolts
{
    /// <summary>A sine of so many volts RMS in a circuit is the line (common practice, no source).</summary>
    public const double LeastLine = 90;

    /// <summary>Volts said are the line's within these shares of the sheet's; others are a slip, or another feed's.</summary>
    public const double LeastShare = 0.3, MostShare = 1.3;

    /// <summary>Line volts at most for one circuit and job: the last ones. For the others readings count by their limits.</summary>
    public const int Most = 6;

    /// <summary>An AC reading so far from what the said volts give does not fit them: 5 % of line, 3 % of meter and likeness (estimate).</summary>
    private const double Apart = 0.08;

    /// <summary>So far from the sheet's line an AC reading may tell the line by itself; farther off a fault is likelier (estimate).</summary>
    private const double Near = 0.2;

    /// <summary>Volts a healthy winding gives at least, for its reading to tell the line.</summary>
    private const double LeastWinding = 1;

    private static readonly ConditionalWeakTable<Netlist, ConcurrentDictionary<string, double>> Healthy = [];

    private readonly Dictionary<(string Entry, string Circuit), AtLine> _told = [];
    private readonly List<AtLine> _needed = [];
    private readonly string? _now;

    private LineVolts(ShopState state, string job, TypeSheet sheet)
    {
        var circuits = Forecasts.Foretold(sheet).Where(c => SourceOf(c) is not null).ToList();
        if (circuits.Count == 0 || !state.Jobs.TryGetValue(job, out var known)) return;
        var (system, sittings) = (known.System, new Dictionary<string, Sitting>());
        void Close(string of) { if (sittings.Remove(of, out var s)) Take(s, circuits, sheet, now: false); }
        foreach (var entry in state.TapeOf(job))
            switch (entry.Act)
            {
                case Powered p:
                    Close(p.System);
                    if (p.LineVolts is { } volts and > 0) sittings[p.System] = new(entry.Id, p.Feed, volts, []);
                    break;
                case Unpowered u: Close(u.System); break;
                case ReadingTaken r when sittings.TryGetValue(r.System, out var s): s.Readings[r.Point] = r.Value; break;
            }
        foreach (var (of, s) in sittings)
        {
            if (of == system) _now = s.Entry;
            Take(s, circuits, sheet, now: of == system);
        }
    }

    /// <summary>Of a job's tape; one that is not there has none.</summary>
    public static LineVolts Of(ShopState state, string job, TypeSheet sheet)
    {
        ArgumentNullException.ThrowIfNull(state);
        ArgumentNullException.ThrowIfNull(sheet);
        return new(state, job, sheet);
    }

    /// <summary>What has to be foretold beside the sheet's own line: each once, those of readings and of the owner's set as it stands.</summary>
    public ImmutableArray<AtLine> Needed => [.. _needed.DistinctBy(n => (n.Circuit.Id, n.Volts)).GroupBy(n => n.Circuit.Id).SelectMany(g => g.TakeLast(Most))];

    /// <summary>The line from one switching on to the next; null: the sheet's.</summary>
    /// <param name="powered">Id of the entry that switched on.</param>
    public AtLine? At(string? powered, CircuitSpec circuit)
    {
        ArgumentNullException.ThrowIfNull(circuit);
        return powered is not null && _told.TryGetValue((powered, circuit.Id), out var at) ? at : null;
    }

    /// <summary>The line the owner's set is under now; null: the sheet's, or off.</summary>
    public AtLine? Now(CircuitSpec circuit) => At(_now, circuit);

    /// <summary>The source that is the line: the only sine of <see cref="LeastLine"/> or more; null when there is none or more than one.</summary>
    public static VoltageSource? SourceOf(CircuitSpec circuit)
    {
        ArgumentNullException.ThrowIfNull(circuit);
        var lines = circuit.Netlist.Devices.OfType<VoltageSource>().Where(v => v.Waveform is Sine { Rms: >= LeastLine }).Take(2).ToList();
        return lines.Count == 1 ? lines[0] : null;
    }

    /// <summary>The circuit with its line at so many volts, RMS; its tolerance stays.</summary>
    /// <exception cref="ArgumentException">It has no line, or the volts are no line's.</exception>
    public static CircuitSpec Fed(CircuitSpec circuit, double volts)
    {
        var source = SourceOf(circuit) ?? throw new ArgumentException($"{circuit.Id} has no source that is the line.", nameof(circuit));
        var sine = (Sine)source.Waveform;
        if (!(volts >= LeastShare * sine.Rms && volts <= MostShare * sine.Rms))
            throw new ArgumentException(string.Create(System.Globalization.CultureInfo.InvariantCulture, $"The line of {circuit.Id} is {sine.Rms:0.#} V on the sheet; it may stand at {LeastShare * sine.Rms:0.#} to {MostShare * sine.Rms:0.#} V."));
        return circuit with { Netlist = circuit.Netlist.Replace(source.Name, source with { Waveform = sine with { Rms = volts } }) };
    }

    private sealed record Sitting(string Entry, string Feed, double Volts, Dictionary<string, double> Readings);

    private void Take(Sitting s, List<CircuitSpec> circuits, TypeSheet sheet, bool now)
    {
        foreach (var circuit in circuits.Where(c => c.Feeds.Contains(s.Feed)))
        {
            var line = ((Sine)SourceOf(circuit)!.Waveform).Rms;
            var said = s.Volts / line;
            if (said is < LeastShare or > MostShare) continue;
            var (share, byReading) = (said, false);
            if (WindingShare(circuit, sheet, s.Readings) is { } read && Math.Abs(read - said) > Apart && Math.Abs(read - 1) <= Near)
                (share, byReading) = (Math.Abs(read - 1) <= Apart ? 1 : read, true);
            var volts = (int)Math.Round(share * line);
            if (volts == (int)Math.Round(line)) continue;
            var at = _told[(s.Entry, circuit.Id)] = new(circuit, volts, byReading);
            if (now || circuit.Points.Any(p => s.Readings.ContainsKey(p.Point))) _needed.Add(at);
        }
    }

    /// <summary>The last AC reading of a winding as a share of what it gives at the sheet's line; null without one.</summary>
    private static double? WindingShare(CircuitSpec circuit, TypeSheet sheet, Dictionary<string, double> readings)
    {
        double? share = null;
        foreach (var p in circuit.Points.Where(p => readings.ContainsKey(p.Point) && sheet.Points.First(x => x.Id == p.Point).Quantity == "volt-ac"))
        {
            var healthy = Healthy.GetOrCreateValue(circuit.Netlist).GetOrAdd(p.Point, _ => SteadyState.Solve(circuit.Netlist).Value?.Volts(p.Node, p.Against).AcRms ?? 0);
            if (healthy >= LeastWinding) share = Math.Abs(readings[p.Point]) / healthy;
        }
        return share;
    }
}
