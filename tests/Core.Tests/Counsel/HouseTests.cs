using System.Collections.Immutable;
using System.Globalization;
using Bellwire.Counsel;
using Bellwire.Workshop;
using Core.Tests.Sheets;

namespace Core.Tests.Counsel;

/// <summary>Wires by published tables, group tests by enumeration.</summary>
public class HouseTests
{
    private static IEnumerable<string[]> Published() =>
        File.ReadAllLines(Path.Combine(ShippedFiles.Folder, "..", "reference", "wire-table", "copper.csv")).Where(l => !l.StartsWith('#')).Skip(1).Select(l => l.Split(','));

    [Fact]
    public void Wire_is_as_thick_and_resists_as_the_tables_have_it()
    {
        var rows = Published().ToList();
        Assert.NotEmpty(rows);
        foreach (var row in rows)
        {
            var (gauge, millimetres, ohmsPerThousandFeet) = (int.Parse(row[0], CultureInfo.InvariantCulture), double.Parse(row[1], CultureInfo.InvariantCulture), double.Parse(row[2], CultureInfo.InvariantCulture));
            Assert.Equal(1, WireTable.Diameter(gauge) * 1000 / millimetres, 0.0005);
            Assert.Equal(1, WireTable.OhmsPerMetre(gauge) * 304.8 / ohmsPerThousandFeet, 0.001);
        }
    }

    [Fact]
    public void A_short_is_as_far_off_as_half_the_loop()
    {
        // Gauge 22, 100 ft one way: loop 3.228 Ω at 20 °C (reference/wire-table, ±0.2 %).
        Assert.Equal(30.48, WireTable.MetresToShort(3.228, 22), 0.06);
        Assert.Equal(30.48, WireTable.MetresToShort(3.228 + 0.3, 22, leadOhms: 0.3), 0.06);
        // Copper resists 0.393 % more a kelvin (IEC 60028; from memory): at 70 °C the same ohms are a sixth less far.
        Assert.Equal(30.48 / (1 + 0.00393 * 50), WireTable.MetresToShort(3.228, 22, 70), 0.06);
        Assert.Throws<ArgumentOutOfRangeException>(() => WireTable.MetresToShort(double.NaN, 22));
        Assert.Throws<ArgumentOutOfRangeException>(() => WireTable.MetresToShort(double.PositiveInfinity, 22));
        Assert.Throws<ArgumentOutOfRangeException>(() => WireTable.OhmsPerMetre(9));
    }

    [Fact]
    public void One_bad_run_is_found_in_as_many_answers_as_the_count_doubles()
    {
        for (var n = 1; n <= 17; n++)
            for (var bad = 0; bad < n; bad++)
            {
                var (found, answers) = Search(n, [bad]);
                Assert.Equal($"run{bad}", found);
                // ⌈log₂ n⌉ answers, and one more to be sure of it.
                Assert.True(answers <= Math.Ceiling(Math.Log2(n)) + 1, $"{answers} answers for {n} runs");
            }
    }

    [Fact]
    public void Two_bad_runs_are_both_found_and_no_good_one_accused()
    {
        for (var n = 2; n <= 9; n++)
            for (var a = 0; a < n; a++)
                for (var b = a + 1; b < n; b++)
                {
                    var (found, answers) = Search(n, [a, b]);
                    Assert.Equal($"run{a} run{b}", found);
                    Assert.True(answers <= Math.Ceiling(Math.Log2(n)) + 1 + n, $"{answers} answers for {n} runs");
                }
    }

    [Fact]
    public void Trouble_with_every_run_lifted_is_not_on_the_wires_and_crossed_answers_are_told()
    {
        Assert.Contains("not on these wires", Halving.Next(["a", "b"], [new GroupTried("j", ["a", "b"], true, "owner")]).Word);
        var crossed = Halving.Next(["a", "b"], [new GroupTried("j", ["a"], false, "owner"), new GroupTried("j", ["a"], true, "owner")]);
        Assert.Contains("do not fit together", crossed.Word);
        Assert.Empty(crossed.Suspects);
    }

    /// <summary>The trouble is there while any bad run is landed.</summary>
    private static (string? Found, int Answers) Search(int n, int[] bad)
    {
        string[] runs = [.. Enumerable.Range(0, n).Select(i => $"run{i}")];
        var tries = new List<GroupTried>();
        for (; tries.Count < 60;)
        {
            var step = Halving.Next(runs, tries);
            if (step.Lift.IsEmpty) return (string.Join(" ", step.Suspects), tries.Count);
            tries.Add(new("j", step.Lift, bad.Any(b => !step.Lift.Contains($"run{b}")), "owner"));
        }
        return (null, tries.Count);
    }
}
