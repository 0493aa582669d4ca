using System.Collections.Immutable;
using System.Security.Cryptography;
using System.Text;

namespace Bellwire.Circuits;

/// <summary>
/// A fault table as bytes, little-endian: mark, key, rows, points, then for each row its unsolved draws, its first failure and the values
/// [point][quantity][draw] in V as 64-bit numbers, last a SHA-256 of all before it. What a row was asked for is not in it: the key stands for that.
/// </summary>
public static class TableBytes
{
    private const string Mark = "bellwire table 1";
    private static readonly int Quantities = Enum.GetValues<Quantity>().Length;

    public static byte[] Write(FaultTable table)
    {
        ArgumentNullException.ThrowIfNull(table);
        using var memory = new MemoryStream();
        using (var w = new BinaryWriter(memory, Encoding.UTF8, leaveOpen: true))
        {
            w.Write(Mark);
            w.Write(table.Key);
            w.Write(table.Rows.Length);
            w.Write(table.Points.Length);
            foreach (var row in table.Rows)
            {
                w.Write(row.Unsolved);
                w.Write(row.FirstFailure is not null);
                if (row.FirstFailure is { } failure)
                {
                    w.Write(failure.Node);
                    w.Write(failure.ResidualAmperes);
                    w.Write(failure.Aids.Length);
                    foreach (var aid in failure.Aids) w.Write(aid);
                    w.Write(failure.AtSeconds ?? double.NaN);
                }
                foreach (var values in row.Draws.SelectMany(p => p))
                {
                    w.Write(values.Length);
                    foreach (var v in values) w.Write(v);
                }
            }
        }
        var body = memory.ToArray();
        return [.. body, .. SHA256.HashData(body)];
    }

    /// <summary>The table, or null for bytes that are damaged, of another key or of another form.</summary>
    /// <param name="sets">One a row, the healthy circuit first.</param>
    /// <param name="draws">Draws a row may hold at most.</param>
    public static FaultTable? Read(byte[] bytes, string key, ImmutableArray<TestPoint> points, ImmutableArray<ImmutableArray<Fault>> sets, int draws)
    {
        ArgumentNullException.ThrowIfNull(bytes);
        if (bytes.Length <= SHA256.HashSizeInBytes) return null;
        var body = bytes.AsSpan(..^SHA256.HashSizeInBytes);
        if (!SHA256.HashData(body).AsSpan().SequenceEqual(bytes.AsSpan(^SHA256.HashSizeInBytes..))) return null;
        try
        {
            using var r = new BinaryReader(new MemoryStream(bytes, 0, body.Length), Encoding.UTF8);
            if (r.ReadString() != Mark || r.ReadString() != key || r.ReadInt32() != sets.Length || r.ReadInt32() != points.Length) return null;
            var rows = ImmutableArray.CreateBuilder<FaultRow>(sets.Length);
            foreach (var set in sets)
            {
                var unsolved = r.ReadInt32();
                var failure = r.ReadBoolean() ? Failure(r) : null;
                var values = ImmutableArray.CreateBuilder<ImmutableArray<double[]>>(points.Length);
                foreach (var _ in points) values.Add([.. Enumerable.Range(0, Quantities).Select(_ => Values(r, draws))]);
                rows.Add(new(set, values.MoveToImmutable(), failure, unsolved));
            }
            return r.BaseStream.Position == body.Length ? new(points, rows.MoveToImmutable(), key) : null;
        }
        catch (Exception e) when (e is IOException or ArgumentException or FormatException or DecoderFallbackException)
        {
            return null;
        }
    }

    private static NotConverged Failure(BinaryReader r)
    {
        var (node, residual, aids) = (r.ReadString(), r.ReadDouble(), ImmutableArray.CreateBuilder<string>());
        for (var k = Count(r, 100); k > 0; k--) aids.Add(r.ReadString());
        return new(node, residual, aids.ToImmutable(), r.ReadDouble() is var at && double.IsNaN(at) ? null : at);
    }

    private static double[] Values(BinaryReader r, int most)
    {
        var values = new double[Count(r, most)];
        for (var k = 0; k < values.Length; k++) values[k] = r.ReadDouble();
        return values;
    }

    private static int Count(BinaryReader r, int most) => r.ReadInt32() is var n && n >= 0 && n <= most ? n : throw new FormatException("A count out of range.");
}
