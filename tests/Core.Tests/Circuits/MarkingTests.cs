using System.Globalization;
using Bellwire.Circuits;
using Bellwire.Circuits.Shapes;

namespace Core.Tests.Circuits;

/// <summary>Markings against what data sheets print (reference/part-markings), in the table and in a circuit.</summary>
public class MarkingTests
{
    private static IEnumerable<string[]> Table(string file)
    {
        var at = new DirectoryInfo(AppContext.BaseDirectory);
        while (at is not null && !File.Exists(Path.Combine(at.FullName, "Bellwire.slnx"))) at = at.Parent;
        return File.ReadLines(Path.Combine(at!.FullName, "reference", "part-markings", file)).Skip(1).Select(l => l.Split(','));
    }

    private static double N(string s) => double.Parse(s, CultureInfo.InvariantCulture);
    private static double Volts(Netlist n, string node = "k") => OperatingPoint.Solve(n).Required.Volts(node);

    [Fact]
    public void Zeners_hold_the_marked_volts_with_the_marked_slope()
    {
        foreach (var row in Table("zeners.csv"))
        {
            var z = Markings.Zener(row[0])!;
            var (volts, amperes, ohms) = (N(row[1]), N(row[2]) * 1e-3, N(row[3]));
            Assert.Equal((volts, ohms, N(row[4]), 0.05), (z.Volts, z.DynamicOhms, z.Watts, z.Tolerance));
            Assert.Equal(amperes, z.TestAmperes!.Value, 1e-9);
            // The definition of both: volts at the test current, ohms as the slope there.
            Netlist At(double i) => new(new CurrentSource("I1", "0", "k", i), new Zener("Z1", "0", "k", z.Volts, z.TestAmperes.Value, z.DynamicOhms!.Value));
            var (low, mid, high) = (Volts(At(0.95 * amperes)), Volts(At(amperes)), Volts(At(1.05 * amperes)));
            Assert.Equal(volts, mid, 0.003 * volts);
            Assert.Equal(ohms, (high - low) / (0.1 * amperes), 0.03 * ohms);
        }
        // Suffixes of the series, and what is no zener.
        foreach (var (marking, tolerance) in new[] { ("1n 4733", 0.1), ("1N4733D", 0.01), ("1N5231", 0.2), ("1N5231A", 0.1) }) Assert.Equal(tolerance, Markings.Zener(marking)!.Tolerance);
        foreach (var no in new[] { "1N4727A", "1N4765", "1N5268B", "1N4002", "BZX", "" }) Assert.Null(Markings.Zener(no));
    }

    [Fact]
    public void Rectifiers_bear_and_drop_what_the_sheet_says()
    {
        foreach (var row in Table("rectifiers.csv"))
        {
            var d = Markings.Diode(row[0])!;
            Assert.Equal((N(row[1]), N(row[2])), (d.ReverseVolts, d.AverageAmperes));
            Assert.InRange(Volts(new Netlist(new CurrentSource("I1", "0", "k", N(row[4])), new Diode("D1", "k", "0", d.SaturationAmperes, d.Emission, d.SeriesOhms))), 0.7, N(row[3]));
        }
        Assert.Null(Markings.Diode("1N4008"));
        // 1N4148: at most 1 V at 10 mA (data sheet, from memory).
        var small = Markings.Diode("1N4148")!;
        Assert.InRange(Volts(new Netlist(new CurrentSource("I1", "0", "k", 0.01), new Diode("D1", "k", "0", small.SaturationAmperes, small.Emission, small.SeriesOhms))), 0.6, 1);
    }

    [Fact]
    public void Regulators_keep_the_limits_of_the_sheet()
    {
        foreach (var row in Table("regulators.csv"))
        {
            var marked = Markings.Regulator(row[0])!;
            Assert.Equal((N(row[2]), N(row[9]), N(row[13])), (marked.Volts, marked.DropoutVolts, marked.MostInputVolts));
            Assert.InRange(marked.QuiescentAmperes, 1e-3, N(row[12]) * 1e-3);
            var part = (Regulator)new SupplyShape(RectifierKind.Bridge, new(24) { VoltAmperes = 20 }, new(2200e-6)) { Stages = [marked.For("out")] }.Build().Required.Netlist["U1"];
            double Out(double volts, double amperes) => Volts(new(new VoltageSource("V1", "raw", "0", volts), part, new CurrentSource("I1", "out", "0", amperes)), "out");
            var (input, volts) = (N(row[4]), marked.Volts);
            Assert.InRange(Out(input, N(row[5])), N(row[1]), N(row[3]));
            Assert.InRange((Out(input, N(row[7])) - Out(input, N(row[8]))) * 1e3, 0, N(row[6]));
            Assert.InRange(Out(volts + N(row[9]) + 0.2, marked.RatedAmperes), 0.97 * volts, 1.04 * volts);
            Assert.InRange(Out(volts + N(row[9]) - 0.5, marked.RatedAmperes), volts - 0.7, volts - 0.4); // half a volt short of the dropout
            var ripple = FrequencySweep.Solve(new(new VoltageSource("V1", "raw", "0", N(row[11]) + 3), part, new Resistor("RL", "out", "0", volts / N(row[5]))), "V1", [120]).Required.Decibels("out")[0];
            Assert.InRange(-ripple, N(row[10]), 90);
        }
        var low = Markings.Regulator("LM79L12ACZ")!;
        Assert.Equal((12.0, true, 0.1), (low.Volts, low.Negative, low.RatedAmperes));
        foreach (var no in new[] { "7811", "TDA7812", "78", "", "1N4002", "78X12" }) Assert.Null(Markings.Regulator(no));
    }

    [Fact]
    public void The_limit_folds_back_as_the_sheet_says()
    {
        // Data sheets of 7805 and 7812: peak 2.2 A, 230 mA into a short with 35 V in; between them common practice, no source: the whole limit up to 10 V across.
        foreach (var marking in new[] { "7805", "7812" })
        {
            var part = (Regulator)new SupplyShape(RectifierKind.Bridge, new(24) { VoltAmperes = 20 }, new(2200e-6)) { Stages = [Markings.Regulator(marking)!.For("out")] }.Build().Required.Netlist["U1"];
            double Shorted(double input, double ohms) => OperatingPoint.Solve(new(new VoltageSource("V1", "raw", "0", input), part, new Resistor("RS", "out", "0", ohms))).Required.Amperes("RS", 0);
            Assert.Equal(0.23, Shorted(35, 1e-3), 0.03);
            Assert.Equal(2.2, Shorted(part.Volts + 4, (part.Volts - 3) / 2.2), 0.05);
            var last = double.PositiveInfinity;
            foreach (var input in new[] { 10.0, 15, 20, 25, 30, 35, 40 })
            {
                var now = Shorted(input, 1e-3);
                Assert.True(now <= last);
                last = now;
            }
        }
        Assert.Throws<ArgumentOutOfRangeException>(() => new Regulator("U1", "a", "b", "0", 5) { FoldedAmperes = double.NaN });
        Assert.Throws<ArgumentOutOfRangeException>(() => OperatingPoint.Solve(new(new VoltageSource("V1", "a", "0", 12), new Regulator("U1", "a", "b", "0", 5) { FoldedAmperes = 0.2, FoldedVolts = 5 }, new Resistor("RL", "b", "0", 10))));
    }

    [Fact]
    public void Transistors_by_number()
    {
        foreach (var row in Table("transistors.csv"))
        {
            var (part, npn) = Markings.Transistor(row[0])!.Value;
            Assert.Equal((row[1] == "1", N(row[2]), N(row[3]), N(row[4])), (npn, part.CollectorVolts, part.CollectorAmperes, part.Watts));
            if (row[5].Length > 0) Assert.InRange(part.Beta, N(row[5]), N(row[6]));
        }
        Assert.Null(Markings.Transistor("2N9999"));
    }
}
