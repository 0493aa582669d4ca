using Bellwire.Circuits;
using Bellwire.Circuits.Shapes;
using Bellwire.Counsel.Mends;

namespace Core.Tests.Mends;

/// <summary>
/// The shop's quick rectifier sums against the circuit engine, which knows nothing of them: from a wall transformer to a tube set,
/// stiff and soft windings, new and dried reservoirs, idle and overloaded.
/// </summary>
public class RectifyingCrossTests
{
    public static TheoryData<RectifierCircuit> Circuits => [.. Enum.GetValues<RectifierCircuit>()];

    [Theory]
    [MemberData(nameof(Circuits))]
    public void Agree_with_the_steady_state(RectifierCircuit circuit)
    {
        var kind = circuit switch { RectifierCircuit.HalfWave => RectifierKind.HalfWave, RectifierCircuit.CentreTap => RectifierKind.CentreTap, _ => RectifierKind.Bridge };
        var off = new List<string>();
        foreach (var (volts, ohms, load) in new[] { (12.0, 1.0, 47.0), (12, 0.2, 470), (18, 3, 60), (24, 0.7, 33), (6.3, 0.3, 20), (120, 20, 2000), (300, 150, 5000) })
            foreach (var (farads, esr) in new[] { (2200e-6, 0.08), (470e-6, 0), (100e-6, 3.0), (47e-6, 20), (2.2e-6, 0), (0.1, 0.01) })
            {
                var hertz = load > 1000 ? 50 : 60;
                var quick = Rectifying.Solve(new(circuit, volts, ohms, farads, load, hertz, esr));
                // The line and the primary are left with next to nothing: their share of the winding's ohms is taken off.
                var read = new TransformerAsRead(volts) { LineHertz = hertz, PrimaryOhms = 0.01, LineOhms = 1e-3, SecondaryOhms = ohms - 0.011 * Math.Pow(volts / 120, 2) };
                var s = SteadyState.Solve(new SupplyShape(kind, read, new(farads) { EsrOhms = esr }) { Loads = [new("raw") { Ohms = load }] }.Build().Required.Netlist).Required;
                var raw = s.Volts("raw");
                void Near(string what, double mine, double engine, double relative, double absolute)
                {
                    if (!(Math.Abs(mine - engine) <= relative * Math.Abs(engine) + absolute))
                        off.Add(FormattableString.Invariant($"{volts} V {ohms} Ω {load} Ω {farads * 1e6} µF {esr} Ω: {what} {mine:g6} against {engine:g6}, {(mine / engine - 1) * 100:0.00} %"));
                }

                // The engine itself is held to ngspice by 0.5, 1.5 and 1 %; the sums step a period in 600.
                Near("mean", quick.Volts, raw.Mean, 0.002, 1e-3);
                Near("ripple", quick.RipplePp, raw.PeakToPeak, 0.01, 2e-3);
                Near("RMS", quick.RippleRms, raw.AcRms, 0.01, 1e-3);
                Near("winding", quick.WindingRms, s.Amperes("T1", 2).Rms, 0.01, 1e-4);
                Near("peak", quick.PeakAmps, s.Amperes("D1").Max, 0.015, 1e-4);
            }
        Assert.True(off.Count == 0, $"{off.Count}:\n{string.Join('\n', off)}");
    }

    [Theory]
    [InlineData("half", RectifierKind.HalfWave)]
    [InlineData("centre", RectifierKind.CentreTap)]
    [InlineData("bridge", RectifierKind.Bridge)]
    public void The_handbook_finds_the_volts_at_the_amperes_drawn(string circuit, RectifierKind kind)
    {
        // The engine draws so much through a load; asked for those amperes, the sum must come back to its volts – however much the winding gives way.
        foreach (var load in new[] { 200.0, 20, 5, 2 })
        {
            var read = new TransformerAsRead(12) { PrimaryOhms = 0.01, LineOhms = 1e-3, SecondaryOhms = 5 };
            var shape = new SupplyShape(kind, read, new(2200e-6) { EsrOhms = 0.08 }) { Loads = [new("raw") { Ohms = load }] };
            var s = SteadyState.Solve(shape.Build().Required.Netlist).Required;
            var amperes = s.Amperes("RL-raw").Mean;
            var said = Bench.Ask("supply", ("circuit", circuit), ("ac", 12), ("ohms", 5), ("farads", 2200), ("esr", 0.08), ("amps", amperes));
            Bench.Near(s.Volts("raw").Mean, said.Figures.Single(f => f.Id == "volts").Value, 0.005, $"{circuit} at {load} Ω");
            // And so must the shape that is given the amperes.
            var again = (shape with { Loads = [new("raw") { Amperes = amperes }] }).Build().Required;
            Bench.Near(load, ((Resistor)again.Netlist["RL-raw"]).Ohms, 0.005, $"{circuit} shape at {load} Ω");
        }
    }
}
