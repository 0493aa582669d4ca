using System.Collections.Concurrent;
using System.Collections.Immutable;
using System.Security.Cryptography;
using System.Text;

namespace Bellwire.Circuits;

/// <summary>A place where tables outlast the program. Losing one only costs the time to make it again, so neither call ever fails.</summary>
public interface ITableShelf
{
    /// <summary>What was laid under that name, whole or damaged; null when there is nothing.</summary>
    byte[]? Take(string name);

    /// <param name="name">64 hexadecimal digits.</param>
    void Lay(string name, byte[] bytes);
}

/// <summary>Tables kept by the hash of what decides them: a changed value, point, fault, option or engine is another table.</summary>
/// <param name="shelf">Where they outlast the program; null: nowhere.</param>
/// <param name="inMemory">False when whoever asks keeps what comes of them.</param>
public sealed class TableCache(ITableShelf? shelf = null, bool inMemory = true)
{
    private readonly ConcurrentDictionary<string, FaultTable> _tables = new();

    public int Count => _tables.Count;

    /// <summary>The engine that made a table is part of its name: another build of it may answer otherwise.</summary>
    public static string NameOf(string key) =>
        Convert.ToHexString(SHA256.HashData(Encoding.UTF8.GetBytes($"{typeof(TableCache).Module.ModuleVersionId:N} {key}")));

    /// <summary>The table from memory or the shelf, or built and remembered.</summary>
    /// <exception cref="OperationCanceledException">Cancelled between two solutions.</exception>
    /// <exception cref="ArgumentException">A point stands on no node, or a fault does not fit the netlist.</exception>
    public FaultTable Get(Netlist netlist, IEnumerable<TestPoint> points, IEnumerable<ImmutableArray<Fault>> faults,
        TableOptions? options = null, IProgress<TableProgress>? progress = null, CancellationToken cancel = default)
    {
        options ??= TableOptions.Usual;
        var (at, sets) = (points.ToImmutableArray(), faults.ToImmutableArray());
        var key = FaultTable.KeyOf(netlist, at, sets.Prepend([]), options);
        if (_tables.TryGetValue(key, out var known)) return known;
        var name = NameOf(key);
        var table = shelf?.Take(name) is { } bytes ? TableBytes.Read(bytes, key, at, [[], .. sets], options.Draws) : null;
        if (table is null)
        {
            table = FaultTable.Build(netlist, at, sets, options, progress, cancel);
            shelf?.Lay(name, TableBytes.Write(table));
        }
        else progress?.Report(new(sets.Length + 1, sets.Length + 1, table.Rows[^1].Words));
        return inMemory ? _tables[key] = table : table;
    }
}
