using System.Collections.Concurrent;
using Bellwire.Circuits;
using Bellwire.Sheets;
using Bellwire.Workshop;

namespace Bellwire.Counsel;

/// <summary>Forecasts once built, found again by the content of the sheet. Safe to share between threads.</summary>
/// <param name="shelf">Where their tables outlast the program; null: nowhere.</param>
public sealed class Forecasts(ITableShelf? shelf = null)
{
    /// <summary>Circuits at other line volts than their sheet's, kept at most.</summary>
    private const int MostFed = 24;

    private readonly ConcurrentDictionary<(string Hash, string Circuit, int Volts), CircuitForecast> _built = new();
    private readonly TableCache _tables = new(shelf, inMemory: false);

    /// <summary>The forecast of one circuit, or null when it was not built yet.</summary>
    /// <param name="at">Null: at the sheet's own line.</param>
    public CircuitForecast? Of(TypeSheet sheet, CircuitSpec circuit, AtLine? at = null)
    {
        ArgumentNullException.ThrowIfNull(sheet);
        ArgumentNullException.ThrowIfNull(circuit);
        return _built.GetValueOrDefault((sheet.Hash, circuit.Id, at?.Volts ?? 0));
    }

    /// <summary>The circuits in which a point of the sheet stands; the others are there for their terminals, and nothing is built of them.</summary>
    public static IEnumerable<CircuitSpec> Foretold(TypeSheet sheet)
    {
        ArgumentNullException.ThrowIfNull(sheet);
        return sheet.Circuits.Where(c => !c.Points.IsEmpty);
    }

    /// <summary>Builds what the sheet's circuits lack.</summary>
    /// <param name="fed">Circuits of the sheet at other line volts, besides all of them at the sheet's own.</param>
    /// <exception cref="OperationCanceledException">Cancelled; circuits built until then stay.</exception>
    public void Build(TypeSheet sheet, IProgress<ForecastProgress>? progress = null, CancellationToken cancel = default, IEnumerable<AtLine>? fed = null)
    {
        ArgumentNullException.ThrowIfNull(sheet);
        foreach (var circuit in Foretold(sheet).Where(c => Of(sheet, c) is null)) Build(sheet, circuit, progress, cancel);
        foreach (var at in (fed ?? []).Where(a => Of(sheet, a.Circuit, a) is null))
        {
            if (_built.Keys.Where(k => k.Volts != 0).ToList() is { Count: >= MostFed } kept) foreach (var key in kept) _built.TryRemove(key, out _);
            _built[(sheet.Hash, at.Circuit.Id, at.Volts)] = CircuitForecast.Build(LineVolts.Fed(at.Circuit, at.Volts), sheet.Points, progress, cancel, _tables);
        }
    }

    /// <summary>Builds one circuit at the sheet's own line.</summary>
    /// <exception cref="OperationCanceledException">Cancelled.</exception>
    public void Build(TypeSheet sheet, CircuitSpec circuit, IProgress<ForecastProgress>? progress = null, CancellationToken cancel = default)
    {
        ArgumentNullException.ThrowIfNull(sheet);
        ArgumentNullException.ThrowIfNull(circuit);
        _built[(sheet.Hash, circuit.Id, 0)] = CircuitForecast.Build(circuit, sheet.Points, progress, cancel, _tables);
    }

    /// <summary>Forecasts cost seconds: they are worth it for a tape once a reading at a circuit's point stands on it.</summary>
    public static bool Wanted(ShopState state, string job, TypeSheet sheet)
    {
        ArgumentNullException.ThrowIfNull(state);
        ArgumentNullException.ThrowIfNull(sheet);
        return !sheet.Circuits.IsEmpty && state.TapeOf(job).Any(e => e.Act is ReadingTaken r && sheet.Circuits.Any(c => c.Points.Any(p => p.Point == r.Point)));
    }

    /// <summary>True when nothing is left to build for the sheet, and for these circuits of it at other line volts.</summary>
    public bool Has(TypeSheet sheet, IEnumerable<AtLine>? fed = null)
    {
        ArgumentNullException.ThrowIfNull(sheet);
        return Foretold(sheet).All(c => Of(sheet, c) is not null) && (fed ?? []).All(a => Of(sheet, a.Circuit, a) is not null);
    }
}
