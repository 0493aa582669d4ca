using Bellwire.Circuits;
using Bellwire.Circuits.Shapes;

namespace Core.Tests.Circuits;

/// <summary>What a transformer, a capacitor, a fuse and a load say, against data sheets, handbooks and closed forms.</summary>
public class ShapeReadingTests
{
    [Fact]
    public void Regulation_is_by_the_loaded_volts()
    {
        // A toroid maker's note: 11 V open, 10 V at rated current is 10 %. 10 V at 1 A is 10 VA: 1 V over 1 A is 1 Ω.
        Assert.Equal(1.0, TransformerAsRead.SeriesOhms(11, 10, 10), 1e-12);
        // 24 V CT 40 VA, 12 %: loaded 2·13/1.12 = 23.214 V, 1.7231 A, drop 2.786 V: 1.6167 Ω for the whole winding (computed by hand).
        Assert.Equal(1.6167, TransformerAsRead.SeriesOhms(26, 40, 12), 1e-3);
    }

    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public void A_transformer_by_its_label_reads_its_label(bool tapped)
    {
        // The definition turned round: the whole winding at its rated current drops by the regulation, and half of the copper loss is in the primary.
        var read = new TransformerAsRead(12) { VoltAmperes = 30, RegulationPercent = 14, LineOhms = 1e-3 };
        var open = tapped ? 24 : 12;
        var (primary, secondary) = read.WindingOhms(tapped);
        var load = Math.Pow(open / 1.14, 2) / 30;
        var n = new Netlist(new VoltageSource("V1", "p", "0", new Sine(120, 60), 1e-3),
            tapped ? new Transformer("T1", ["p", "0", "a", "m", "m", "0"], [new(120, primary), new(12, secondary), new(12, secondary)]) : new Transformer("T1", ["p", "0", "a", "0"], [new(120, primary), new(12, secondary)]),
            new Resistor("RL", "a", "0", load));
        var s = SteadyState.Solve(n).Required;
        Assert.Equal(open / 1.14, s.Volts("a").AcRms, 0.001 * open);
        var copper = Math.Pow(s.Amperes("T1").Rms, 2) * primary;
        Assert.Equal(0.5, copper / s.Watts("T1").Mean, 0.001);
    }

    [Fact]
    public void Winding_ohms_add_by_the_square_of_the_turns()
    {
        // Lee, Electronic Transformers and Circuits: the primary's resistance is seen from the secondary through the square of the ratio. 120:12, 60 Ω and 0.7 Ω: 0.6 + 0.7.
        var read = new TransformerAsRead(12) { PrimaryOhms = 59.5, SecondaryOhms = 0.7 };
        Assert.Equal(1.3, read.SourceOhms(tapped: false), 1e-9);
        Assert.Equal((59.5, 0.7), read.WindingOhms(tapped: true));
        // One side alone: the other with the same loss.
        Assert.Equal(70, (read with { PrimaryOhms = null }).WindingOhms(tapped: false).Primary, 1e-9);
        Assert.Equal(0.595, (read with { SecondaryOhms = null }).WindingOhms(tapped: false).Secondary, 1e-9);
        Assert.Equal(35, (read with { PrimaryOhms = null }).WindingOhms(tapped: true).Primary, 1e-9);
    }

    [Fact]
    public void Esr_of_the_data_sheet_and_fuse_ohms_of_the_table()
    {
        // Maker's sheet of general-purpose radials: ESR = tan δ/(2π·120·C).
        Assert.Equal(0.212, CapacitorAsRead.UsualEsr(1000e-6, 16), 0.001);
        Assert.Equal(1.857, CapacitorAsRead.UsualEsr(100e-6, 25), 0.001);
        Assert.Equal(0.0844, CapacitorAsRead.UsualEsr(2200e-6, 35), 0.0001);
        // Maker's table of sub-miniature very fast fuses, cold.
        foreach (var (amperes, ohms) in new[] { (0.5, 0.280), (1, 0.128), (1.5, 0.0823), (2, 0.0473), (3, 0.0290) })
            Assert.Equal(ohms, ((Fuse)Fused(amperes)["F1"]).Ohms, 0.15 * ohms);
    }

    private static Netlist Fused(double amperes) =>
        new SupplyShape(RectifierKind.Bridge, new(12) { SecondaryOhms = 1 }, new(1000e-6)) { Fuse = new(FusePlace.Secondary, amperes) }.Build().Required.Netlist;

    [Fact]
    public void Adjustable_regulators_hold_what_their_divider_says()
    {
        // V = 1.25·(1 + R2/R1) + 50 µA·R2, data sheet of the adjustable type: 240/2000 Ω 11.767 V, 240/1500 9.138 V.
        foreach (var (lower, volts) in new[] { (2000.0, 11.767), (1500, 9.138) })
        {
            var stage = new AdjustableRegulator("tune", 240, lower);
            Assert.Equal(volts, stage.MeantVolts!.Value, 0.001);
            var n = new SupplyShape(RectifierKind.Bridge, new(18) { VoltAmperes = 20 }, new(2200e-6)) { Stages = [stage], Loads = [new("tune") { Amperes = 0.05 }] }.Build().Required.Netlist;
            Assert.Equal(volts, SteadyState.Solve(n).Required.Volts("tune").Mean, 0.01 * volts);
        }
    }

    [Fact]
    public void Amperes_of_a_load_flow()
    {
        // Ohm and Kirchhoff: what was asked for flows in the healthy supply, on raw and behind a filter.
        var c = new SupplyShape(RectifierKind.Bridge, new(14) { VoltAmperes = 25 }, new(2200e-6))
        {
            Stages = [new RcPi("pre", 100, 470e-6)],
            Loads = [new("raw") { Amperes = 0.25 }, new("pre") { Amperes = 0.02 }, new("raw") { Amperes = 0.1, AtVolts = 16, Name = "RL-lamps" }],
        }.Build().Required;
        var s = SteadyState.Solve(c.Netlist).Required;
        Assert.Equal(0.25, s.Amperes("RL-raw").Mean, 0.25 * 2e-3);
        Assert.Equal(0.02, s.Amperes("RL-pre").Mean, 0.02 * 2e-3);
        Assert.Equal(160, ((Resistor)c.Netlist["RL-lamps"]).Ohms, 1e-9);
    }
}
