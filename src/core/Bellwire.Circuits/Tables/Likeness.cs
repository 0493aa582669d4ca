using System.Collections.Immutable;

namespace Bellwire.Circuits;

/// <summary>Which faults no test point tells apart, and which further node would.</summary>
public static class Likeness
{
    /// <summary>
    /// Rows that read alike: closer than <paramref name="sigmas"/> pooled spreads at every point in every quantity. Likeness is
    /// taken to be passed on (a like b, b like c: one class). Spread is never taken smaller than meters see:
    /// 0.5 % and 5 mV (common practice, no source).
    /// </summary>
    /// <param name="sigmas">2 by default: then a reading decides in about five cases of six.</param>
    /// <param name="first">How many of the table's points are read; null for all.</param>
    public static ImmutableArray<ImmutableArray<int>> Classes(FaultTable table, double sigmas = 2, int? first = null)
    {
        var group = Enumerable.Range(0, table.Rows.Length).ToArray();
        for (var a = 0; a < group.Length; a++)
            for (var b = a + 1; b < group.Length; b++)
                if (group[a] != group[b] && Distance(table, a, b, first ?? table.Points.Length) < sigmas)
                {
                    var (keep, drop) = (Math.Min(group[a], group[b]), Math.Max(group[a], group[b]));
                    for (var k = 0; k < group.Length; k++) if (group[k] == drop) group[k] = keep;
                }
        return [.. Enumerable.Range(0, group.Length).GroupBy(k => group[k]).Where(g => g.Count() > 1).Select(g => g.ToImmutableArray())];
    }

    /// <summary>The largest difference of two rows at any point, in pooled spreads.</summary>
    public static double Distance(FaultTable table, int a, int b) => Distance(table, a, b, table.Points.Length);

    private static double Distance(FaultTable table, int a, int b, int points) =>
        Enumerable.Range(0, points).Max(p => Distance(table.Rows[a], table.Rows[b], p));

    /// <summary>Of the nodes offered, the one that splits a class into most parts (the table must hold those nodes as points), with the parts.</summary>
    /// <param name="wide">A table of the same rows whose points include further nodes.</param>
    /// <returns>Null when none splits it.</returns>
    public static (TestPoint Point, int Parts)? Splitter(FaultTable wide, ImmutableArray<int> like, double sigmas = 2)
    {
        (TestPoint, int)? best = null;
        for (var p = 0; p < wide.Points.Length; p++)
        {
            var parts = 0;
            var seen = new HashSet<int>();
            foreach (var row in like)
            {
                if (!seen.Add(row)) continue;
                parts++;
                var open = new Queue<int>([row]);
                while (open.TryDequeue(out var next))
                    foreach (var other in like)
                        if (!seen.Contains(other) && Distance(wide.Rows[next], wide.Rows[other], p) < sigmas)
                        {
                            seen.Add(other);
                            open.Enqueue(other);
                        }
            }
            if (parts > 1 && (best is not { } b || parts > b.Item2)) best = (wide.Points[p], parts);
        }
        return best;
    }

    private static double Distance(FaultRow a, FaultRow b, int point)
    {
        var worst = 0.0;
        foreach (var q in (ReadOnlySpan<Quantity>)[Quantity.Direct, Quantity.Ripple, Quantity.LineComponent, Quantity.Ohms])
        {
            if (a.At(point, q) is not { } x || b.At(point, q) is not { } y) continue;
            var meter = Math.Max(0.005 * Math.Max(Math.Abs(x.Mean), Math.Abs(y.Mean)), 0.005);
            var pooled = Math.Sqrt((x.Spread * x.Spread + y.Spread * y.Spread) / 2 + meter * meter);
            worst = Math.Max(worst, Math.Abs(x.Mean - y.Mean) / pooled);
        }
        return worst;
    }
}
