using System.Collections.Concurrent;
using Bellwire.Circuits;
using Bellwire.Circuits.Shapes;
using Bellwire.Counsel;

namespace Bellwire.App.Desks;

/// <summary>A supply told by its shape, and every usual fault of it, reckoned beside the page.</summary>
public sealed class ShapeWork
{
    internal ShapeWork(SupplyCircuit supply) => Work = new(progress => cancel =>
        Table = FaultTable.Build(supply.Netlist, supply.Points, new TableOptions { Draws = 24, LineHertz = supply.LineHertz }, new Passing(progress), cancel));

    public ForecastWork Work { get; }
    public FaultTable? Table { get; private set; }

    private sealed class Passing(IProgress<ForecastProgress> to) : IProgress<TableProgress>
    {
        public void Report(TableProgress value) => to.Report(new(value.Done, value.Of, value.Fault));
    }
}

public sealed partial class Desk
{
    private const int MostShapes = 8;
    private readonly ConcurrentDictionary<string, ShapeWork> shapes = new(StringComparer.Ordinal);

    /// <summary>The table of a supply, begun when nobody has yet; the last few are kept.</summary>
    public ShapeWork TableOf(SupplyCircuit supply)
    {
        if (shapes.Count > MostShapes) shapes.Clear();
        return shapes.GetOrAdd(supply.Netlist.Fingerprint(), _ => new(supply));
    }
}
