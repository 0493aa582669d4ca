using System.Collections.Immutable;
using Bellwire.Circuits;

namespace Core.Tests.Circuits;

/// <summary>Tables that outlast the program.</summary>
public class TableBytesTests
{
    private static readonly Netlist Circuit = new(new VoltageSource("V1", "in", "0", new Sine(12, 60), ohms: 1), new Diode("D1", "in", "raw"),
        new Capacitor("C1", "raw", "0", 470e-6, seriesOhms: 0.1, tolerance: 0.2), new Resistor("RL", "raw", "0", 100, 0.05));
    private static readonly ImmutableArray<TestPoint> Points = [new("raw", "raw"), new("in", "in", "raw")];
    private static readonly ImmutableArray<ImmutableArray<Fault>> Faults = [[new DriedOut("C1")], [new Open("D1")]];
    private static readonly TableOptions Options = new() { Draws = 6 };
    private static readonly FaultTable Built = FaultTable.Build(Circuit, Points, Faults, Options);

    private static FaultTable? Read(byte[] bytes, string? key = null, int draws = 6) => TableBytes.Read(bytes, key ?? Built.Key, Points, [[], .. Faults], draws);

    private static IEnumerable<double> Values(FaultTable t) =>
        from row in t.Rows from p in Enumerable.Range(0, t.Points.Length) from q in Enum.GetValues<Quantity>() from v in row.Values(p, q).ToArray() select v;

    [Fact]
    public void What_was_written_is_read_to_the_bit()
    {
        var back = Read(TableBytes.Write(Built))!;
        Assert.Equal(Values(Built), Values(back));
        Assert.Equal(Built.Rows.Select(r => (r.Words, r.Unsolved, r.FirstFailure?.Words)), back.Rows.Select(r => (r.Words, r.Unsolved, r.FirstFailure?.Words)));
        Assert.Equal((Built.Key, Built.Points), (back.Key, back.Points));
    }

    [Fact]
    public void Anything_damaged_or_meant_for_another_is_no_table()
    {
        var whole = TableBytes.Write(Built);
        for (var k = 0; k < whole.Length; k += 97)
        {
            var bent = whole.ToArray();
            bent[k] ^= 0x20;
            Assert.Null(Read(bent));
            Assert.Null(Read(whole[..k]));
        }
        Assert.Null(Read([.. whole, 0]));
        Assert.Null(Read(whole, "another"));
        Assert.Null(Read(whole, draws: 5));
        // Whole by its sum, nonsense inside.
        byte[] nonsense = [.. Enumerable.Repeat((byte)0xFF, 400)];
        Assert.Null(Read([.. nonsense, .. System.Security.Cryptography.SHA256.HashData(nonsense)]));
    }

    private sealed class Drawer : ITableShelf
    {
        public Dictionary<string, byte[]> Lies { get; } = [];
        public byte[]? Take(string name) => Lies.GetValueOrDefault(name);
        public void Lay(string name, byte[] bytes) => Lies[name] = bytes;
    }

    private sealed class Counted : IProgress<TableProgress>
    {
        private int _rows;
        public int Rows => _rows;
        public void Report(TableProgress value) => Interlocked.Increment(ref _rows);
    }

    [Fact]
    public void A_table_on_the_shelf_is_not_reckoned_again_and_a_damaged_one_is()
    {
        var shelf = new Drawer();
        int Rows(Netlist circuit)
        {
            var told = new Counted();
            // A new cache each time, as after a restart.
            var table = new TableCache(shelf).Get(circuit, Points, Faults, Options, told);
            Assert.Equal(Values(FaultTable.Build(circuit, Points, Faults, Options)), Values(table));
            return told.Rows;
        }

        Assert.Equal(3, Rows(Circuit));
        Assert.Equal(1, Rows(Circuit));
        Assert.Equal(3, Rows(Circuit.Replace("RL", new Resistor("RL", "raw", "0", 101, 0.05))));
        Assert.Equal(2, shelf.Lies.Count);
        var name = TableCache.NameOf(Built.Key);
        shelf.Lies[name][100] ^= 1;
        Assert.Equal(3, Rows(Circuit));
        Assert.Equal(1, Rows(Circuit));
    }

    [Fact]
    public void Windings_decide_what_a_table_is()
    {
        Netlist With(double ohms) => new(new VoltageSource("V1", "in", "0", new Sine(12, 60), ohms: 1), new Transformer("T1", ["in", "0", "a", "0"], [new(12, 1), new(6, ohms)]), new Resistor("RL", "a", "0", 100));
        Assert.NotEqual(With(1).Fingerprint(), With(2).Fingerprint());
        Assert.Equal(With(1).Fingerprint(), With(1).Fingerprint());
    }
}
