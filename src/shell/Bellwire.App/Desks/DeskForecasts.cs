using System.Collections.Concurrent;
using System.Collections.Immutable;
using Bellwire.Counsel;
using Bellwire.Sheets;
using Bellwire.Workshop;

namespace Bellwire.App.Desks;

/// <summary>What circuits foretell: reckoned beside the pages, once for each sheet.</summary>
public sealed partial class Desk
{
    private readonly Forecasts forecasts = new();
    private readonly ConcurrentDictionary<string, ForecastWork> foretelling = new(StringComparer.Ordinal);

    /// <summary>The forecasts of the sheet, begun when nobody has yet; null for a sheet without circuits.</summary>
    public ForecastWork? Foretell(TypeSheet sheet)
    {
        if (sheet.Circuits.IsEmpty) return null;
        return foretelling.GetOrAdd(sheet.Hash, _ => new(progress => (cancel =>
        {
            forecasts.Build(sheet, progress, cancel);
            // Pages that wait for it look again.
            Grown?.Invoke(Head);
        })));
    }

    /// <summary>Begins once more what was stopped.</summary>
    public void ForetellAgain(TypeSheet sheet)
    {
        if (foretelling.TryGetValue(sheet.Hash, out var work) && work.Stopped) foretelling.TryRemove(new(sheet.Hash, work));
        Foretell(sheet);
    }

    public CircuitForecast? ForecastOf(TypeSheet sheet, CircuitSpec circuit) => forecasts.Of(sheet, circuit);

    /// <summary>What each circuit would read, by all that is on the tape; empty until it is reckoned.</summary>
    public ImmutableArray<Foretold> Foretold(string job) => Foretelling.Of(State, job, SheetOf(job), forecasts, Think(job).Weighed);
}

/// <summary>One sheet's forecasts under way or done.</summary>
public sealed class ForecastWork : IProgress<ForecastProgress>
{
    private readonly CancellationTokenSource stop = new();
    private volatile object at = default(ForecastProgress);

    internal ForecastWork(Func<IProgress<ForecastProgress>, Action<CancellationToken>> work) => Task = System.Threading.Tasks.Task.Run(() => work(this)(stop.Token));

    internal Task Task { get; }
    public bool Ready => Task.IsCompletedSuccessfully;
    public bool Stopped => Task.IsCanceled || Task.IsFaulted || stop.IsCancellationRequested;
    public ForecastProgress At => (ForecastProgress)at;
    public void Stop() => stop.Cancel();
    void IProgress<ForecastProgress>.Report(ForecastProgress value) { if (value.Done > At.Done) at = value; }
}
