using System.Collections.Concurrent;
using System.Collections.Immutable;
using Bellwire.Circuits;
using Bellwire.Circuits.Shapes;
using Bellwire.Counsel;
using Bellwire.Sheets;

namespace Bellwire.App.Desks;

/// <summary>What circuits would read: those of a sheet, once for each text of it, and a supply told by its shape. Reckoned beside the pages.</summary>
public sealed partial class Desk
{
    private const int MostShapes = 8, ShapeDraws = 24;
    private readonly Forecasts forecasts = new();
    private readonly ConcurrentDictionary<string, Beside<Forecasts>> foretelling = new(StringComparer.Ordinal);
    private readonly ConcurrentDictionary<string, Beside<FaultTable>> shapes = new(StringComparer.Ordinal);

    /// <summary>The forecasts of the sheet, begun when nobody has yet; null for a sheet without circuits that foretell.</summary>
    public Beside<Forecasts>? Foretell(TypeSheet sheet) => !Forecasts.Foretold(sheet).Any() ? null : foretelling.GetOrAdd(sheet.Hash, _ => new(sheet.Hash, (tell, cancel) =>
    {
        forecasts.Build(sheet, new Telling<ForecastProgress>(p => tell(p.Done, p.Of)), cancel);
        // Pages that wait for it look again.
        Grown?.Invoke(Head);
        return forecasts;
    }));

    /// <summary>Begins once more what was stopped.</summary>
    public void ForetellAgain(TypeSheet sheet)
    {
        Forget(foretelling, sheet.Hash);
        Foretell(sheet);
    }

    public CircuitForecast? ForecastOf(TypeSheet sheet, CircuitSpec circuit) => forecasts.Of(sheet, circuit);

    /// <summary>What each circuit would read, by all that is on the tape; empty until it is reckoned.</summary>
    public ImmutableArray<Foretold> Foretold(string job) => Foretelling.Of(State, job, SheetOf(job), forecasts, Think(job).Weighed);

    /// <summary>Every usual fault of a supply, begun when nobody has yet; the last few are kept.</summary>
    /// <param name="again">Begin once more what was stopped.</param>
    public Beside<FaultTable> TableOf(SupplyCircuit supply, bool again)
    {
        if (shapes.Count > MostShapes) shapes.Clear();
        var key = supply.Netlist.Fingerprint();
        if (again) Forget(shapes, key);
        return shapes.GetOrAdd(key, _ => new(key, (tell, cancel) =>
            FaultTable.Build(supply.Netlist, supply.Points, new TableOptions { Draws = ShapeDraws, LineHertz = supply.LineHertz }, new Telling<TableProgress>(p => tell(p.Done, p.Of)), cancel)));
    }

    private static void Forget<T>(ConcurrentDictionary<string, Beside<T>> all, string key) where T : class
    {
        if (all.TryGetValue(key, out var work) && work.Stopped) all.TryRemove(new(key, work));
    }

    private sealed class Telling<T>(Action<T> tell) : IProgress<T>
    {
        public void Report(T value) => tell(value);
    }
}
