using Bellwire.Circuits.Shapes;

namespace Core.Tests.Circuits;

/// <summary>One supply of every shape and every stage, invented values.</summary>
internal static class ShapeCorpus
{
    private static TransformerAsRead Read(double volts, double primary, double secondary) => new(volts) { PrimaryOhms = primary, SecondaryOhms = secondary };

    public static IEnumerable<(string Name, SupplyShape Shape)> All =>
    [
        ("half wave with RC and zener", new(RectifierKind.HalfWave, Read(18, 60, 2), new(1000e-6) { WorkingVolts = 35 })
        {
            Stages = [new RcPi("9v", 120, 470e-6), new ZenerShunt("ref", 330, 6.2) { From = "9v", Output = new(47e-6) }],
            Loads = [new("9v") { Ohms = 470 }, new("ref") { Amperes = 0.005 }],
        }),
        ("centre tap, fuse in the tap, two regulators", new(RectifierKind.CentreTap, new(13) { VoltAmperes = 40, RegulationPercent = 12 }, new(3300e-6) { WorkingVolts = 35 })
        {
            Fuse = new(FusePlace.Tap, 2),
            Stages = [new SeriesRegulator("12v", 12) { Output = new(100e-6) }, new SeriesRegulator("5v", 5) { Output = new(100e-6) }],
            Loads = [new("12v") { Amperes = 0.2 }, new("5v") { Ohms = 25 }, new("raw") { Ohms = 120 }],
        }),
        ("bridge, pass transistor", new(RectifierKind.Bridge, Read(15, 40, 1.1), new(2200e-6))
        {
            Fuse = new(FusePlace.Secondary, 1),
            Stages = [new PassTransistor("11v", 470, 12) { Base = new(47e-6), Output = new(220e-6) }],
            Loads = [new("11v") { Amperes = 0.15 }, new("raw") { Ohms = 220 }],
        }),
        ("positive ground bridge, pass transistor and regulator", new(RectifierKind.Bridge, Read(15, 40, 1.1), new(2200e-6))
        {
            Negative = true,
            Fuse = new(FusePlace.Line, 0.5),
            Stages = [new PassTransistor("9v", 560, 10), new SeriesRegulator("5v", 5) { From = "9v", DropoutVolts = 1.5 }],
            Loads = [new("9v") { Ohms = 120 }, new("5v") { Ohms = 100 }],
        }),
        ("dual from a tap", new(RectifierKind.DualFromTap, new(15) { VoltAmperes = 30, RegulationPercent = 15 }, new(1000e-6) { WorkingVolts = 35 })
        {
            Fuse = new(FusePlace.Tap, 1),
            Stages = [new SeriesRegulator("12p", 12) { Output = new(47e-6) }, new SeriesRegulator("12n", 12) { From = "raw-neg", Output = new(47e-6) }],
            Loads = [new("12p") { Ohms = 150 }, new("12n") { Ohms = 220 }],
        }),
        ("doubler with selenium and surge resistor", new(RectifierKind.Doubler, Read(12, 90, 1.5), new(470e-6)) { Diodes = new Selenium(2, 0.2), SurgeOhms = 4.7, Loads = [new("raw") { Ohms = 1000 }] }),
        ("regulator shorted, folding back", new(RectifierKind.Bridge, new(22) { VoltAmperes = 40 }, new(2200e-6)) { Stages = [Markings.Regulator("7812")!.For("12v"), Markings.Regulator("7805")!.For("5v")], Loads = [new("12v") { Ohms = 100 }, new("5v") { Ohms = 0.5 }] }),
        ("half wave, adjustable regulator", new(RectifierKind.HalfWave, Read(24, 50, 3), new(2200e-6)) { Stages = [new AdjustableRegulator("tune", 240, 2000) { Output = new(10e-6) }], Loads = [new("tune") { Amperes = 0.02 }] }),
    ];
}
