using System.Collections.Concurrent;
using System.Collections.Immutable;

namespace Bellwire.Circuits;

/// <summary>Tables kept in memory by the hash of what decides them: a changed value, point, fault or option is another table.</summary>
public sealed class TableCache
{
    private readonly ConcurrentDictionary<string, FaultTable> _tables = new();

    public int Count => _tables.Count;

    /// <summary>The table from memory, or built and remembered.</summary>
    public FaultTable Get(Netlist netlist, IEnumerable<TestPoint> points, IEnumerable<ImmutableArray<Fault>> faults,
        TableOptions? options = null, IProgress<TableProgress>? progress = null, CancellationToken cancel = default)
    {
        options ??= TableOptions.Usual;
        var (at, sets) = (points.ToImmutableArray(), faults.ToImmutableArray());
        var key = FaultTable.KeyOf(netlist, at, sets.Prepend([]), options);
        if (_tables.TryGetValue(key, out var known)) return known;
        return _tables[key] = FaultTable.Build(netlist, at, sets, options, progress, cancel);
    }
}
