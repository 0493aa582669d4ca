using System.Collections.Concurrent;
using Bellwire.Sheets;
using Bellwire.Workshop;

namespace Bellwire.Counsel;

/// <summary>Forecasts once built, found again by the content of the sheet. Safe to share between threads.</summary>
public sealed class Forecasts
{
    private readonly ConcurrentDictionary<(string Hash, string Circuit), CircuitForecast> _built = new();

    /// <summary>The forecast of one circuit, or null when it was not built yet.</summary>
    public CircuitForecast? Of(TypeSheet sheet, CircuitSpec circuit)
    {
        ArgumentNullException.ThrowIfNull(sheet);
        ArgumentNullException.ThrowIfNull(circuit);
        return _built.GetValueOrDefault((sheet.Hash, circuit.Id));
    }

    /// <summary>The circuits in which a point of the sheet stands; the others are there for their terminals, and nothing is built of them.</summary>
    public static IEnumerable<CircuitSpec> Foretold(TypeSheet sheet)
    {
        ArgumentNullException.ThrowIfNull(sheet);
        return sheet.Circuits.Where(c => !c.Points.IsEmpty);
    }

    /// <summary>Builds what the sheet's circuits lack.</summary>
    /// <exception cref="OperationCanceledException">Cancelled; circuits built until then stay.</exception>
    public void Build(TypeSheet sheet, IProgress<ForecastProgress>? progress = null, CancellationToken cancel = default)
    {
        ArgumentNullException.ThrowIfNull(sheet);
        foreach (var circuit in Foretold(sheet).Where(c => Of(sheet, c) is null)) Build(sheet, circuit, progress, cancel);
    }

    /// <summary>Builds one circuit.</summary>
    /// <exception cref="OperationCanceledException">Cancelled.</exception>
    public void Build(TypeSheet sheet, CircuitSpec circuit, IProgress<ForecastProgress>? progress = null, CancellationToken cancel = default)
    {
        ArgumentNullException.ThrowIfNull(sheet);
        ArgumentNullException.ThrowIfNull(circuit);
        _built[(sheet.Hash, circuit.Id)] = CircuitForecast.Build(circuit, sheet.Points, progress, cancel);
    }

    /// <summary>Forecasts cost seconds: they are worth it for a tape once a reading at a circuit's point stands on it.</summary>
    public static bool Wanted(ShopState state, string job, TypeSheet sheet)
    {
        ArgumentNullException.ThrowIfNull(state);
        ArgumentNullException.ThrowIfNull(sheet);
        return !sheet.Circuits.IsEmpty && state.TapeOf(job).Any(e => e.Act is ReadingTaken r && sheet.Circuits.Any(c => c.Points.Any(p => p.Point == r.Point)));
    }

    /// <summary>True when nothing is left to build for the sheet.</summary>
    public bool Has(TypeSheet sheet)
    {
        ArgumentNullException.ThrowIfNull(sheet);
        return Foretold(sheet).All(c => Of(sheet, c) is not null);
    }
}
