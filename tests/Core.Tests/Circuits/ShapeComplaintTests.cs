using System.Collections.Immutable;
using Bellwire.Circuits;
using Bellwire.Circuits.Shapes;

namespace Core.Tests.Circuits;

/// <summary>A shape that makes no sense says where and what would.</summary>
public class ShapeComplaintTests
{
    private static readonly SupplyShape Good = new(RectifierKind.Bridge, new(12) { VoltAmperes = 20 }, new(1000e-6)) { Stages = [new SeriesRegulator("5v", 5)], Loads = [new("5v") { Ohms = 50 }] };

    public static TheoryData<string, string, Func<SupplyShape, SupplyShape>> Wrong => new()
    {
        { "Transformer.OpenVolts", "between 1 and 1000 V", s => s with { Transformer = new(0.2) { VoltAmperes = 20 } } },
        { "Transformer.OpenVolts", "NaN", s => s with { Transformer = new(double.NaN) { VoltAmperes = 20 } } },
        { "Transformer.SecondaryOhms", "VA of the label", s => s with { Transformer = new(12) } },
        { "Transformer.RegulationPercent", "between 1 and 60 %", s => s with { Transformer = new(12) { VoltAmperes = 20, RegulationPercent = 90 } } },
        { "Reservoir.Farads", "between", s => s with { Reservoir = new(2200) } }, // µF typed as F
        { "Diodes.Plates", "between 1 and 40", s => s with { Diodes = new Selenium(0, 1) } },
        { "SurgeOhms", "between 0 and 10000 Ω", s => s with { SurgeOhms = -1 } },
        { "Fuse.Place", "tap", s => s with { Fuse = new(FusePlace.Tap, 1) } },
        { "Fuse.Place", "tapped winding", s => s with { Rectifier = RectifierKind.CentreTap, Fuse = new(FusePlace.Secondary, 1) } },
        { "Fuse.Amperes", "between 0.01 and 30 A", s => s with { Fuse = new(FusePlace.Line, 0) } },
        { "Negative", "dual", s => s with { Rectifier = RectifierKind.DualFromTap, Negative = true } },
        { "Stages[0].Volts", "between 1 and 60 V", s => s with { Stages = [new SeriesRegulator("5v", 500)] } },
        { "Stages[0].Rail", "already", s => s with { Stages = [new SeriesRegulator("raw", 5)], Loads = [] } },
        { "Stages[0].Rail", "cannot name a rail", s => s with { Stages = [new SeriesRegulator("0", 5)], Loads = [] } },
        { "Stages[0].Rail", "cannot name a rail", s => s with { Stages = [new SeriesRegulator("tap", 5)], Loads = [] } },
        { "Stages[0].From", "there are raw", s => s with { Stages = [new SeriesRegulator("5v", 5) { From = "12v" }] } },
        { "Stages[0].MadeNegative", "above common", s => s with { Stages = [Markings.Regulator("7905")!.For("5v")] } },
        { "Stages[0].Zener.Watts", "between", s => s with { Stages = [new ZenerShunt("5v", 100, 5.1, 5000)] } },
        { "Stages[0].Output.Farads", "between", s => s with { Stages = [new SeriesRegulator("5v", 5) { Output = new(0) }] } },
        { "Loads[0].Rail", "there are raw, 5v", s => s with { Loads = [new("6v") { Ohms = 5 }] } },
        { "Loads[0].Ohms", "one of the two", s => s with { Loads = [new("5v")] } },
        { "Loads[0].Ohms", "one of the two", s => s with { Loads = [new("5v") { Ohms = 5, Amperes = 1 }] } },
        { "Loads[0].Amperes", "cannot deliver", s => s with { Loads = [new("raw") { Amperes = 40 }] } },
        { "Printed[Q9]", "no part Q9", s => s with { Printed = ImmutableDictionary<string, string>.Empty.Add("Q9", "Q301") } },
        { "Printed", "would be called D2", s => s with { Printed = ImmutableDictionary<string, string>.Empty.Add("D1", "D2") } },
    };

    [Theory]
    [MemberData(nameof(Wrong), DisableDiscoveryEnumeration = true)]
    public void Names_the_field_and_the_limit(string field, string words, Func<SupplyShape, SupplyShape> spoil)
    {
        var built = spoil(Good).Build();
        Assert.Null(built.Value);
        Assert.Contains(built.Complaints, c => c.Field == field && c.Words.Contains(words, StringComparison.Ordinal));
        Assert.Contains(field, Assert.Throws<InvalidOperationException>(() => built.Required).Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Names_of_parts_are_stable_and_may_be_those_of_the_board()
    {
        var c = Good.Build().Required;
        Assert.Equal(["LINE", "T1", "D1", "D2", "D3", "D4", "C1", "U1", "RL-5v"], c.Netlist.Devices.Select(d => d.Name));
        Assert.Equal(["ac", "raw", "5v"], c.Points.Select(p => p.Name));
        Assert.Equal("regulator of 5v", c.Parts.Single(p => p.Name == "U1").Words);
        var printed = (Good with { Printed = ImmutableDictionary<string, string>.Empty.Add("C1", "C301").Add("U1", "IC7") }).Build().Required;
        Assert.True(printed.Netlist.Has("C301") && printed.Netlist.Has("IC7") && !printed.Netlist.Has("C1"));
        Assert.Equal("reservoir", printed.Parts.Single(p => p.Name == "C301").Words);
        Assert.Throws<ArgumentException>(() => c.Point("12v"));
        Assert.Throws<ArgumentOutOfRangeException>(() => c.AtLine(double.NaN));
    }
}
