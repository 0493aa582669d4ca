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

    /// <summary>What lies on the shelf is there within this time; a page need not come twice for it.</summary>
    private static readonly TimeSpan ShelfWait = TimeSpan.FromMilliseconds(400);
    private readonly Forecasts forecasts;
    private readonly ConcurrentDictionary<string, Beside<Forecasts>> foretelling = new(StringComparer.Ordinal);
    private readonly ConcurrentDictionary<string, Beside<FaultTable>> shapes = new(StringComparer.Ordinal);

    /// <summary>The forecasts of the sheet, begun when nobody has yet; null for a sheet without circuits that foretell.</summary>
    public Beside<Forecasts>? Foretell(TypeSheet sheet) => Foretell(sheet, []);

    /// <summary>Those of a job's sheet, at the line volts its readings were taken under too.</summary>
    public Beside<Forecasts>? Foretell(string job) => Foretell(SheetOf(job), LineVolts.Of(State, job, SheetOf(job)).Needed);

    /// <summary>Begins once more what was stopped.</summary>
    public void ForetellAgain(TypeSheet sheet) => Again(sheet, []);

    /// <summary>Begins once more what was stopped, for a job.</summary>
    public void ForetellAgain(string job) => Again(SheetOf(job), LineVolts.Of(State, job, SheetOf(job)).Needed);

    private void Again(TypeSheet sheet, ImmutableArray<AtLine> fed)
    {
        Forget(foretelling, ForetellKey(sheet, fed));
        Foretell(sheet, fed);
    }

    private Beside<Forecasts>? Foretell(TypeSheet sheet, ImmutableArray<AtLine> fed)
    {
        if (!Forecasts.Foretold(sheet).Any()) return null;
        var key = ForetellKey(sheet, fed);
        // Line volts long not looked at may have made room for others.
        if (foretelling.TryGetValue(key, out var done) && done.Result is not null && !forecasts.Has(sheet, fed)) foretelling.TryRemove(new(key, done));
        return foretelling.GetOrAdd(key, _ =>
        {
            var work = new Beside<Forecasts>(key, (tell, cancel) =>
            {
                forecasts.Build(sheet, new Telling<ForecastProgress>(p => tell(p.Done, p.Of)), cancel, fed);
                // Pages that wait for it look again.
                Grown?.Invoke(Head);
                return forecasts;
            });
            work.Wait(ShelfWait);
            return work;
        });
    }

    private static string ForetellKey(TypeSheet sheet, ImmutableArray<AtLine> fed) => sheet.Hash + string.Concat(fed.Select(a => $" {a.Circuit.Id}@{a.Volts}"));

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
            new TableCache(tables, inMemory: false).Get(supply.Netlist, supply.Points, supply.Netlist.UsualFaults.Select(f => ImmutableArray.Create(f)),
                new TableOptions { Draws = ShapeDraws, LineHertz = supply.LineHertz }, new Telling<TableProgress>(p => tell(p.Done, p.Of)), cancel)));
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
