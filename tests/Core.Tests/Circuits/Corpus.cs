using Bellwire.Circuits;

namespace Core.Tests.Circuits;

/// <summary>Circuits of the trade, invented values, tried in every test that compares.</summary>
internal static class Corpus
{
    private static Sine Line(double rms, double phase = 0) => new(rms, 60, phase);

    public static IEnumerable<(string Name, Netlist Circuit)> All =>
    [
        ("half wave", new(new VoltageSource("V1", "a", "0", Line(12), 0.5), new Diode("D1", "a", "raw"), new Capacitor("C1", "raw", "0", 1000e-6, 0.1), new Resistor("RL", "raw", "0", 100))),
        ("centre tapped", new(new VoltageSource("V1", "a", "tap", Line(12), 1), new VoltageSource("V2", "b", "tap", Line(12, 180), 1), new Fuse("F1", "tap", "0", 2),
            new Diode("D1", "a", "raw"), new Diode("D2", "b", "raw"), new Capacitor("C1", "raw", "0", 2200e-6, 0.08), new Resistor("RL", "raw", "0", 47))),
        ("bridge with transformer", new(new VoltageSource("V1", "p", "0", Line(120), 0.5), new Transformer("T1", ["p", "0", "a", "b"], [new(120, 30), new(12.6, 0.6)], 8),
            new Diode("D1", "a", "raw"), new Diode("D2", "b", "raw"), new Diode("D3", "0", "a"), new Diode("D4", "0", "b"), new Capacitor("C1", "raw", "0", 2200e-6, 0.08), new Resistor("RL", "raw", "0", 60))),
        ("dual rail", new(new VoltageSource("V1", "a", "0", Line(15), 0.8), new VoltageSource("V2", "b", "0", Line(15, 180), 0.8),
            new Diode("D1", "a", "pos"), new Diode("D2", "b", "pos"), new Diode("D3", "neg", "a"), new Diode("D4", "neg", "b"),
            new Capacitor("C1", "pos", "0", 1000e-6, 0.1), new Capacitor("C2", "0", "neg", 1000e-6, 0.1), new Resistor("R1", "pos", "0", 150), new Resistor("R2", "neg", "0", 220))),
        ("doubler", new(new VoltageSource("V1", "a", "m", Line(12), 1), new Diode("D1", "a", "top"), new Diode("D2", "0", "a"),
            new Capacitor("C1", "top", "m", 470e-6, 0.2), new Capacitor("C2", "m", "0", 470e-6, 0.2), new Resistor("RL", "top", "0", 1000))),
        ("RC pi with zener", new(new VoltageSource("V1", "a", "0", Line(16), 1), new Diode("D1", "a", "raw"), new Capacitor("C1", "raw", "0", 470e-6, 0.2),
            new Resistor("R1", "raw", "mid", 100), new Capacitor("C2", "mid", "0", 220e-6, 0.3), new Resistor("R2", "mid", "ref", 220), new Zener("Z1", "0", "ref", 9.1), new Resistor("RL", "ref", "0", 2200))),
        ("pass transistor", new(new VoltageSource("V1", "a", "b", Line(15), 1), new Diode("D1", "a", "raw"), new Diode("D2", "b", "raw"), new Diode("D3", "0", "a"), new Diode("D4", "0", "b"),
            new Capacitor("C1", "raw", "0", 1000e-6, 0.1), new Resistor("R1", "raw", "ref", 680), new Zener("Z1", "0", "ref", 12), new Capacitor("C2", "ref", "0", 47e-6, 0.5),
            new BipolarTransistor("Q1", "raw", "ref", "out", beta: 60), new Capacitor("C3", "out", "0", 100e-6, 0.3), new Resistor("RL", "out", "0", 82))),
        ("selenium", new(new VoltageSource("V1", "a", "0", Line(24), 2), new SeleniumStack("D1", "a", "raw", 2, 0.3), new Capacitor("C1", "raw", "0", 470e-6, 0.3),
            new Resistor("R1", "raw", "out", 47), new Capacitor("C2", "out", "0", 470e-6, 0.3), new Resistor("RL", "out", "0", 270))),
        ("regulated", Supply.Netlist),
        ("common emitter", new(new VoltageSource("V1", "vcc", "0", 12), new VoltageSource("V2", "in", "0", new Sine(0.01, 1000), 600), new Capacitor("C1", "b", "in", 10e-6, 1),
            new Resistor("R1", "vcc", "b", 47e3), new Resistor("R2", "b", "0", 10e3), new Resistor("R3", "vcc", "c", 4700), new Resistor("R4", "e", "0", 1000), new Capacitor("C2", "e", "0", 100e-6, 0.5),
            new BipolarTransistor("Q1", "c", "b", "e", beta: 200), new Capacitor("C3", "c", "out", 10e-6, 1), new Resistor("RL", "out", "0", 10e3))),
        ("op-amp pre-amplifier", new(new VoltageSource("V1", "p", "0", 12), new VoltageSource("V2", "n", "0", -12), new VoltageSource("V3", "in", "0", new Sine(0.05, 1000), 600),
            new Capacitor("C1", "in", "plus", 1e-6, 1), new Resistor("R1", "plus", "0", 47e3), new OpAmp("U1", "plus", "minus", "out", "p", "n"), new Resistor("R2", "out", "minus", 47e3), new Resistor("R3", "minus", "0", 2200), new Resistor("RL", "out", "0", 2200))),
        ("output stage", new(new VoltageSource("V1", "vcc", "0", 16, 0.5), new VoltageSource("V2", "in", "0", new Sine(2, 1000), 100), new Capacitor("C1", "b", "in", 10e-6, 1),
            new Resistor("R1", "vcc", "top", 1000), new Diode("D1", "top", "b", 1e-14, 1, 1), new Diode("D2", "b", "bot", 1e-14, 1, 1), new Resistor("R2", "bot", "0", 1000),
            new BipolarTransistor("Q1", "vcc", "top", "e1", beta: 80, saturationAmperes: 1e-13), new BipolarTransistor("Q2", "0", "bot", "e2", npn: false, beta: 80, saturationAmperes: 1e-13),
            new Resistor("R3", "e1", "mid", 0.5), new Resistor("R4", "mid", "e2", 0.5), new Capacitor("C2", "mid", "out", 470e-6, 0.1), new Speaker("SP1", "out", "0", 6.4))),
        ("source follower", new(new VoltageSource("V1", "vdd", "0", 15), new VoltageSource("V2", "in", "0", new Sine(1, 1000), 1000), new Capacitor("C1", "g", "in", 1e-6, 1), new Resistor("R1", "vdd", "g", 1e6), new Resistor("R2", "g", "0", 1e6),
            new Mosfet("Q1", "vdd", "g", "s"), new Resistor("R3", "s", "0", 1000), new Capacitor("C2", "s", "out", 10e-6, 1), new Resistor("RL", "out", "0", 4700))),
        ("choke input", new(new VoltageSource("V1", "a", "0", Line(12), 1), new VoltageSource("V2", "b", "0", Line(12, 180), 1), new Diode("D1", "a", "x"), new Diode("D2", "b", "x"),
            new Inductor("L1", "x", "raw", 0.2, 4), new Resistor("R1", "x", "raw", 4700), new Capacitor("C1", "raw", "0", 1000e-6, 0.1), new Resistor("RL", "raw", "0", 60))),
        ("lamp and volume", new(new VoltageSource("V1", "a", "0", Line(6.3), 0.2), new Lamp("LA1", "a", "0", 6.3, 1, warmSeconds: 0.05), new Potentiometer("P1", "a", "w", "0", 10e3, 0.3), new Switch("S1", "w", "out", true), new Resistor("RL", "out", "0", 22e3))),
    ];
}

/// <summary>A supply of the kind most sets have: centre-tapped winding with the fuse in the tap, reservoir, two regulators.</summary>
internal static class Supply
{
    public static Netlist Netlist { get; } = new(
        new VoltageSource("V1", "p", "0", new Sine(120, 60), 0.5) { Tolerance = 0.05 },
        new Transformer("T1", ["p", "0", "a", "tap", "tap", "b"], [new(120, 25), new(13, 0.7), new(13, 0.7)], 6),
        new Fuse("F1", "tap", "0", 2, 0.06),
        new Diode("D1", "a", "raw") { SaturationSpread = 2 }, new Diode("D2", "b", "raw") { SaturationSpread = 2 },
        new Capacitor("C1", "raw", "0", 3300e-6, 0.06, tolerance: 0.2),
        new Regulator("U1", "raw", "12v", "0", 12) { Tolerance = 0.04 }, new Capacitor("C2", "12v", "0", 100e-6, 0.3, tolerance: 0.2), new Resistor("R1", "12v", "0", 60, 0.1),
        new Regulator("U2", "raw", "5v", "0", 5) { Tolerance = 0.04 }, new Capacitor("C3", "5v", "0", 100e-6, 0.3, tolerance: 0.2), new Resistor("R2", "5v", "0", 25, 0.1),
        new Resistor("R3", "raw", "0", 120, 0.1));
}
