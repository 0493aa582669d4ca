using System.Collections.Immutable;
using Bellwire.Circuits;

namespace Core.Tests.Circuits;

/// <summary>Fault tables: the draws against full single solutions, their order, cancelling, caching, what reads alike.</summary>
public class FaultTableTests
{
    private static readonly TestPoint[] Points = [new("RAW", "raw"), new("12V", "12v"), new("5V", "5v")];
    private static readonly ImmutableArray<Fault> Some = [new Open("D1"), new DriedOut("C1"), new RegulatorThrough("U1"), new RegulatorOpen("U2"), new RegulatorNoOutput("U2"), new Open("F1")];
    private static ImmutableArray<ImmutableArray<Fault>> Sets => [.. Some.Select(f => ImmutableArray.Create(f)), [new Open("D1"), new DriedOut("C1")]];
    private static FaultTable Table { get; } = FaultTable.Build(Supply.Netlist, Points, Sets, new() { Draws = 10 });

    [Fact]
    public void Every_draw_is_what_a_full_solution_of_it_says()
    {
        for (var row = 0; row < Table.Rows.Length; row++)
            foreach (var draw in new[] { 0, 7 })
            {
                var circuit = Supply.Netlist.Faulted(Table.Rows[row].Faults).Drawn(1, draw);
                var s = SteadyState.Solve(circuit, new() { Tolerance = 1e-5, StepsPerPeriod = 200 }).Required;
                for (var p = 0; p < Points.Length; p++)
                {
                    var w = s.Volts(Points[p].Node);
                    Assert.Equal(w.Mean, Table.Rows[row].Values(p, Quantity.Direct)[draw], 0.005 * Math.Abs(w.Mean) + 5e-3);
                    Assert.Equal(w.PeakToPeak, Table.Rows[row].Values(p, Quantity.Ripple)[draw], 0.02 * w.PeakToPeak + 5e-3);
                }
            }
    }

    [Fact]
    public void The_trade_knows_these_readings()
    {
        // reference/trade, common practice: one rectifier open gives ripple at line frequency; a dry reservoir much ripple at
        // twice that; a regulator shorted through puts raw volts on its rail.
        Expected At(int row, int point, Quantity q) => Table.Rows[row].At(point, q)!;
        Assert.True(At(1, 0, Quantity.LineComponent).Mean > 10 * At(0, 0, Quantity.LineComponent).Mean);
        Assert.True(At(2, 0, Quantity.Ripple).Mean > 4 * At(0, 0, Quantity.Ripple).Mean);
        Assert.Equal(At(3, 0, Quantity.Direct).Mean, At(3, 1, Quantity.Direct).Mean, 0.05);
        Assert.InRange(At(0, 2, Quantity.Direct).Spread, 0.04, 0.16); // 4 % of 5 V taken as two sigma
    }

    [Fact]
    public void Equal_seeds_give_equal_tables_and_others_differ()
    {
        var again = FaultTable.Build(Supply.Netlist, Points, Sets, new() { Draws = 10 });
        Assert.Equal(Table.Rows[2].Values(0, Quantity.Ripple).ToArray(), again.Rows[2].Values(0, Quantity.Ripple).ToArray());
        Assert.Equal(Table.Key, again.Key);
        Assert.NotEqual(Table.Key, FaultTable.KeyOf(Supply.Netlist, Points, Sets.Prepend([]), new() { Draws = 10, Seed = 2 }));
    }

    [Fact]
    public void A_table_is_built_once_and_again_when_a_value_changes()
    {
        var cache = new TableCache();
        var options = new TableOptions { Draws = 2 };
        var first = cache.Get(Supply.Netlist, Points, [], options);
        Assert.Same(first, cache.Get(new Netlist(Supply.Netlist.Devices), Points, [], options));
        Assert.NotSame(first, cache.Get(Supply.Netlist.Faulted(new Drifted("R3", 1.01)), Points, [], options));
    }

    [Fact]
    public void It_tells_how_far_it_is_and_can_be_cancelled()
    {
        using var cancel = new CancellationTokenSource();
        var told = new Told(() => cancel.Cancel());
        Assert.ThrowsAny<OperationCanceledException>(() => FaultTable.Build(Supply.Netlist, Points, Sets, new() { Draws = 5 }, told, cancel.Token));
        Assert.True(told.Count >= 1);
    }

    [Fact]
    public void Faults_that_read_alike_are_one_class_and_a_further_point_splits_them()
    {
        var alike = Likeness.Classes(Table);
        var regulator = Assert.Single(alike, c => c.Contains(4));
        Assert.Contains(5, regulator); // open and silent both leave the rail dead
        // An open diode and its open half winding differ only ahead of the diode.
        ImmutableArray<ImmutableArray<Fault>> pair = [[new Open("D1")], [new WindingOpen("T1", 1)]];
        var few = FaultTable.Build(Supply.Netlist, Points, pair, new() { Draws = 5 });
        var wide = FaultTable.Build(Supply.Netlist, [.. Points, new("TAP", "tap"), new("END", "a")], pair, new() { Draws = 5 });
        var together = Assert.Single(Likeness.Classes(few));
        Assert.Equal([1, 2], together);
        Assert.Equal("END", Likeness.Splitter(wide, together)!.Value.Point.Name);
    }

    [Fact]
    public void A_point_on_no_node_is_named() =>
        Assert.Contains("TP9", Assert.Throws<ArgumentException>(() => FaultTable.Build(Supply.Netlist, [new("TP9", "nowhere")], Sets)).Message);

    private sealed class Told(Action then) : IProgress<TableProgress>
    {
        public int Count { get; private set; }
        public void Report(TableProgress value)
        {
            Count++;
            then();
        }
    }
}
