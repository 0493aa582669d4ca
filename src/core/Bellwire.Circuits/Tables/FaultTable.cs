using System.Collections.Immutable;
using System.Globalization;
using System.Security.Cryptography;
using System.Text;

namespace Bellwire.Circuits;

/// <summary>What every fault would read at every test point, over the tolerances of the parts.</summary>
public sealed class FaultTable
{
    internal FaultTable(ImmutableArray<TestPoint> points, ImmutableArray<FaultRow> rows, string key) => (Points, Rows, Key) = (points, rows, key);

    public ImmutableArray<TestPoint> Points { get; }

    /// <summary>The first row is the healthy circuit, then the faults in the order asked for.</summary>
    public ImmutableArray<FaultRow> Rows { get; }

    /// <summary>Hash of everything that decided the table.</summary>
    public string Key { get; }

    /// <summary>The table of the healthy circuit and each fault set, over common tolerance draws. Two threads may share the work; the numbers do not depend on that.</summary>
    /// <param name="faults">One row each; a row may hold several faults at once.</param>
    /// <param name="progress">Told after each row.</param>
    /// <exception cref="OperationCanceledException">Cancelled between two solutions.</exception>
    /// <exception cref="ArgumentException">A point stands on no node, or a fault does not fit the netlist.</exception>
    public static FaultTable Build(Netlist netlist, IEnumerable<TestPoint> points, IEnumerable<ImmutableArray<Fault>> faults,
        TableOptions? options = null, IProgress<TableProgress>? progress = null, CancellationToken cancel = default)
    {
        options ??= TableOptions.Usual;
        var at = points.ToImmutableArray();
        var sets = faults.Prepend([]).ToImmutableArray();
        foreach (var p in at)
            foreach (var node in new[] { p.Node, p.Against })
                if (node != Netlist.Ground && !netlist.Nodes.Contains(node)) throw new ArgumentException($"Test point {p.Name} stands on node {node}, which the circuit does not have.", nameof(points));
        var rows = new FaultRow[sets.Length];
        var done = 0;
        try
        {
            rows[0] = RowSolver.Solve(netlist, at, [], options, null, cancel);
            progress?.Report(new(++done, sets.Length, rows[0].Words));
            Parallel.For(1, sets.Length, new ParallelOptions { CancellationToken = cancel }, k =>
            {
                rows[k] = RowSolver.Solve(netlist, at, sets[k], options, rows[0].Shifts, cancel);
                progress?.Report(new(Interlocked.Increment(ref done), sets.Length, rows[k].Words));
            });
        }
        catch (AggregateException e) when (e.InnerExceptions is [ArgumentException or OperationCanceledException, ..])
        {
            System.Runtime.ExceptionServices.ExceptionDispatchInfo.Throw(e.InnerExceptions[0]);
        }
        return new(at, [.. rows], KeyOf(netlist, at, sets, options));
    }

    /// <summary>Every usual single fault.</summary>
    public static FaultTable Build(Netlist netlist, IEnumerable<TestPoint> points, TableOptions? options = null, IProgress<TableProgress>? progress = null, CancellationToken cancel = default) =>
        Build(netlist, points, netlist.UsualFaults.Select(f => ImmutableArray.Create(f)), options, progress, cancel);

    /// <summary>A hash of content: equal circuits, points, faults and options have equal keys.</summary>
    public static string KeyOf(Netlist netlist, IEnumerable<TestPoint> points, IEnumerable<ImmutableArray<Fault>> faults, TableOptions options)
    {
        var text = new StringBuilder(netlist.Fingerprint()).AppendLine();
        foreach (var p in points) text.AppendLine(CultureInfo.InvariantCulture, $"{p}");
        foreach (var set in faults) text.AppendJoin(" + ", set).AppendLine();
        text.AppendLine(CultureInfo.InvariantCulture, $"{options.Draws} {options.Seed} {options.LineHertz:R} {options.Steady.Tolerance:R} {options.Steady.StepsPerPeriod} {options.Steady.IdleSeconds:R} {options.Unpowered}");
        return Convert.ToHexString(SHA256.HashData(Encoding.UTF8.GetBytes(text.ToString())));
    }
}

/// <summary>One row of the table: a fault set and what it reads.</summary>
public sealed class FaultRow
{
    /// <summary>How many kinds of <see cref="Quantity"/> there are.</summary>
    internal const int Quantities = 5;

    internal FaultRow(ImmutableArray<Fault> faults, ImmutableArray<ImmutableArray<double[]>> draws, NotConverged? failure, int unsolved) =>
        (Faults, Draws, FirstFailure, Unsolved) = (faults, draws, failure, unsolved);

    public ImmutableArray<Fault> Faults { get; }
    public string Words => Faults.IsEmpty ? "healthy" : string.Join(" and ", Faults.Select(f => f.Words));

    /// <summary>Draws that found no solution; they are left out of means and spreads.</summary>
    public int Unsolved { get; }
    public NotConverged? FirstFailure { get; }

    /// <summary>[point][quantity] → one value a solved draw, in the order of the draws.</summary>
    internal ImmutableArray<ImmutableArray<double[]>> Draws { get; }

    /// <summary>Difference of the states of each draw from the undrawn circuit.</summary>
    internal double[][]? Shifts { get; init; }

    /// <summary>The values drawn at a point, V or Ω, in the order of the draws: equal places belong to one specimen, so that points stay correlated.</summary>
    public ReadOnlySpan<double> Values(int point, Quantity quantity) => Draws[point][(int)quantity];

    /// <summary>Mean and spread at a point; null when no draw found a solution.</summary>
    public Expected? At(int point, Quantity quantity)
    {
        var v = Draws[point][(int)quantity];
        if (v.Length == 0) return null;
        var mean = v.Average();
        var spread = v.Length < 2 ? 0 : Math.Sqrt(v.Sum(x => (x - mean) * (x - mean)) / (v.Length - 1));
        return new(mean, spread, v.Min(), v.Max());
    }
}
