using System.Collections.Immutable;
using System.Globalization;
using Bellwire.Circuits;
using Bellwire.Circuits.Shapes;

namespace Core.Tests.Circuits;

/// <summary>Shapes against computed and published tables (reference/rectifiers), textbook bounds, and what the trade reads on a faulty supply.</summary>
public class ShapeHandbookTests
{
    /// <summary>A winding whose only resistance is its own: primary and line are next to nothing.</summary>
    private static TransformerAsRead Bare(double volts, double ohms) => new(volts) { PrimaryOhms = 0.01, SecondaryOhms = ohms, LineOhms = 1e-3 };

    private static SupplyShape Shape(RectifierKind kind, double farads = 2200e-6, double esr = 0) =>
        new(kind, Bare(12, 1), new(farads) { EsrOhms = esr }) { Loads = [new("raw") { Ohms = 47 }] };

    private static IEnumerable<string[]> Table(string file)
    {
        var at = new DirectoryInfo(AppContext.BaseDirectory);
        while (at is not null && !File.Exists(Path.Combine(at.FullName, "Bellwire.slnx"))) at = at.Parent;
        return File.ReadLines(Path.Combine(at!.FullName, "reference", "rectifiers", file)).Skip(1).Select(l => l.Split(','));
    }

    private static double N(string s) => double.Parse(s, CultureInfo.InvariantCulture);

    [Theory]
    [InlineData("centre tapped")]
    [InlineData("bridge")]
    [InlineData("one diode open")]
    [InlineData("dried")]
    public void The_reference_supplies_read_as_ngspice_found(string circuit)
    {
        // reference/rectifiers/ngspice.csv: mean 0.5 %, peak to peak 1.5 %, RMS 1 %.
        var row = Table("ngspice.csv").Single(r => r[0] == circuit).Skip(1).Select(N).ToArray();
        var shape = circuit switch { "bridge" => Shape(RectifierKind.Bridge), "dried" => Shape(RectifierKind.CentreTap, 100e-6, 3), _ => Shape(RectifierKind.CentreTap) };
        ImmutableArray<Fault> faults = circuit == "one diode open" ? [new Open("D2")] : [];
        var raw = SteadyState.Solve(shape.Build().Required.Netlist.Faulted(faults)).Required.Volts("raw");
        Assert.Equal(row[0], raw.Mean, 0.005 * row[0]);
        Assert.Equal(row[1], raw.PeakToPeak, 0.015 * row[1]);
        Assert.Equal(row[2], raw.AcRms, 0.01 * row[2]);
        if (circuit == "one diode open") Assert.True(raw.Harmonic(1) > 2 * raw.Harmonic(2)); // line ripple instead of twice line
    }

    [Fact]
    public void Regulation_and_ripple_follow_the_normalised_curves()
    {
        // reference/rectifiers/normalised.csv (ideal diodes, 0.3 %; ripple is given to two or three digits): the curves of Schade 1943 recomputed.
        foreach (var r in Table("normalised.csv"))
        {
            var (peak, load, share) = (1000.0, 1000.0, N(r[2]));
            var shape = new SupplyShape(r[0] == "half" ? RectifierKind.HalfWave : RectifierKind.Bridge, Bare(peak / Math.Sqrt(2), share * load), new(N(r[1]) / (2 * Math.PI * 60 * load)) { EsrOhms = 0 })
            {
                Diodes = new Silicon() { SaturationAmperes = 1e-9, Emission = 0.5, SeriesOhms = 1e-3 },
                Loads = [new("raw") { Ohms = load }],
            };
            var s = SteadyState.Solve(shape.Build().Required.Netlist).Required;
            Assert.Equal(N(r[3]), s.Volts("raw").Mean / peak, 0.003 * N(r[3]));
            Assert.Equal(N(r[4]), s.Volts("raw").AcRms / s.Volts("raw").Mean, 0.006 * N(r[4]));
        }
    }

    [Theory]
    [InlineData(RectifierKind.HalfWave, 1)]
    [InlineData(RectifierKind.CentreTap, 2)]
    [InlineData(RectifierKind.Bridge, 2)]
    public void Ripple_stays_below_the_rule_and_diodes_block_what_the_textbook_says(RectifierKind kind, int pulses)
    {
        // Horowitz & Hill: I/(f·C) or I/(2f·C) is conservative. Peak inverse volts: twice the peak for half wave and centre tap, the peak for a bridge.
        var c = Shape(kind).Build().Required;
        var s = SteadyState.Solve(c.Netlist).Required;
        Assert.InRange(s.Volts("raw").PeakToPeak, 0.5, s.Amperes("RL-raw").Mean / (pulses * 60 * 2200e-6));
        var idle = SteadyState.Solve(c.Netlist.Replace("RL-raw", new Resistor("RL-raw", "raw", "0", 1e5))).Required;
        var d = (Diode)c.Netlist["D1"];
        var peak = 12 * Math.Sqrt(2);
        Assert.Equal(kind == RectifierKind.Bridge ? peak : 2 * peak, idle.Volts(d.Nodes[1], d.Nodes[0]).Max, 0.05 * peak);
    }

    [Fact]
    public void A_doubler_doubles_and_a_dual_supply_mirrors()
    {
        // Textbook: unloaded, a doubler stands at twice the peak, a dual supply at plus and minus the peak of a half.
        var peak = 12 * Math.Sqrt(2);
        var doubler = SteadyState.Solve((Shape(RectifierKind.Doubler) with { Loads = [new("raw") { Ohms = 1e5 }] }).Build().Required.Netlist).Required;
        Assert.InRange(doubler.Volts("raw").Mean, 2 * peak - 1.6, 2 * peak); // less two junctions
        var dual = SteadyState.Solve((Shape(RectifierKind.DualFromTap) with { Loads = [new("raw") { Ohms = 1e5 }, new("raw-neg") { Ohms = 1e5 }] }).Build().Required.Netlist).Required;
        Assert.Equal(peak, dual.Volts("raw").Mean, 0.04 * peak);
        Assert.Equal(0, dual.Volts("raw").Mean + dual.Volts("raw-neg").Mean, 1e-3);
    }

    [Fact]
    public void A_positive_ground_set_is_the_mirror_of_its_twin()
    {
        var shape = ShapeCorpus.All.Single(s => s.Name.StartsWith("positive ground", StringComparison.Ordinal)).Shape;
        var (below, above) = (SteadyState.Solve(shape.Build().Required.Netlist).Required, SteadyState.Solve((shape with { Negative = false }).Build().Required.Netlist).Required);
        foreach (var rail in new[] { "raw", "9v", "5v" })
        {
            Assert.Equal(-above.Volts(rail).Mean, below.Volts(rail).Mean, 2e-3);
            Assert.Equal(above.Volts(rail).PeakToPeak, below.Volts(rail).PeakToPeak, 2e-3);
        }
    }

    [Fact]
    public void An_open_tap_fuse_kills_one_shape_and_lets_the_other_wander()
    {
        // Common practice, no source: with the tap as the return, AC reads perfect and the raw volts are gone; with a bridge and the tap as common the sum stays right.
        var tap = ShapeTests.Of("centre tap, fuse in the tap, two regulators");
        var (well, blown) = (SteadyState.Solve(tap.Netlist).Required, SteadyState.Solve(tap.Netlist.Faulted(new Open("F1"))).Required);
        Assert.InRange(blown.Volts("raw").Mean, -0.1, 0.5);
        Assert.InRange(blown.Volts("sec-a", "sec-b").AcRms / well.Volts("sec-a", "sec-b").AcRms, 1, 1.1);
        Assert.True(blown.Volts("tap").AcRms + Math.Abs(blown.Volts("tap").Mean) > 5); // volts across an open fuse
        var dual = ShapeTests.Of("dual from a tap");
        (well, blown) = (SteadyState.Solve(dual.Netlist).Required, SteadyState.Solve(dual.Netlist.Faulted(new Open("F1"))).Required);
        Assert.Equal(well.Volts("raw", "raw-neg").Mean, blown.Volts("raw", "raw-neg").Mean, 0.08 * well.Volts("raw", "raw-neg").Mean);
    }

    [Fact]
    public void The_line_scales_what_nothing_regulates()
    {
        var c = ShapeTests.Of("centre tap, fuse in the tap, two regulators");
        var (usual, low) = (SteadyState.Solve(c.Netlist).Required, SteadyState.Solve(c.AtLine(110).Netlist).Required);
        Assert.Equal((110, 120, 60), (c.AtLine(110).LineVolts, c.LineVolts, c.LineHertz));
        // A silicon drop of about a volt does not scale: a little more than in proportion.
        Assert.InRange(low.Volts("raw").Mean / usual.Volts("raw").Mean, 0.89, 110.0 / 120);
        Assert.Equal(usual.Volts("5v").Mean, low.Volts("5v").Mean, 0.01);
    }

    [Fact]
    public void Ratings_of_the_marking_are_judged()
    {
        // 2 × 24 V on a centre tap: each diode blocks up to 67.9 V; a 50 V type is overtaxed, a 100 V type is not (textbook, closed form).
        var shape = new SupplyShape(RectifierKind.CentreTap, Bare(24, 2), new(1000e-6) { WorkingVolts = 50 }) { Diodes = Markings.Diode("1N4001")!, Loads = [new("raw") { Ohms = 200 }] };
        var over = Stress.Of(SteadyState.Solve(shape.Build().Required.Netlist).Required);
        Assert.Equal(["D1", "D2"], over.Select(o => o.Part).Order());
        Assert.All(over, o => Assert.Equal(Strain.Volts, o.What));
        Assert.Empty(Stress.Of(SteadyState.Solve((shape with { Diodes = Markings.Diode("1N4002")! }).Build().Required.Netlist).Required));
    }

    [Fact]
    public void A_foreign_24_volts_on_raw_hurts_the_reservoir_and_melts_the_tap_fuse()
    {
        // Closed form: 24 V RMS peaks at 33.9 V, beyond a 25 V reservoir; on the other half wave the rectifiers short it through the tap fuse, whose melting integral is 5 A²s.
        var shape = new SupplyShape(RectifierKind.CentreTap, new(13) { VoltAmperes = 40, RegulationPercent = 12 }, new(3300e-6) { WorkingVolts = 25 })
        {
            Fuse = new(FusePlace.Tap, 2) { MeltingAmpereSquaredSeconds = 5 },
            Loads = [new("raw") { Ohms = 60 }],
        };
        var events = WrongConnection.Try(shape.Build().Required.Netlist, "raw", "0", new Sine(24, 60), 0.5, 0.1).Required.Events;
        Assert.Equal(("C1", Strain.Volts), (events[0].Part, events[0].What));
        Assert.InRange(events[0].AtSeconds!.Value, 0, 1 / 240.0 + 1e-3); // by the first crest
        Assert.Contains(events, e => e is { Part: "F1", What: Strain.Melts });
    }
}
