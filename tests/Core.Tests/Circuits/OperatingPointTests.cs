using Bellwire.Circuits;

namespace Core.Tests.Circuits;

/// <summary>Operating points against closed forms (textbook circuit theory) and their own equations.</summary>
public class OperatingPointTests
{
    [Fact]
    public void A_divider_divides()
    {
        var n = new Netlist(new VoltageSource("V1", "in", "0", 12), new Resistor("R1", "in", "out", 3000), new Resistor("R2", "out", "0", 1000));
        var op = OperatingPoint.Solve(n).Required;
        Assert.Equal(3, op.Volts("out"), 9);
        Assert.Equal(3e-3, op.Amperes("R1"), 9);
        Assert.Equal(-3e-3, op.Amperes("V1"), 9); // a source that delivers takes a negative current at its plus
        Assert.Equal(0.027, op.Watts("R1"), 9);
        Assert.Equal("Newton", op.How.Method);
    }

    [Fact]
    public void A_diode_behind_a_resistor_sits_where_Shockley_says()
    {
        var n = new Netlist(new VoltageSource("V1", "in", "0", 5), new Resistor("R1", "in", "a", 1000), new Diode("D1", "a", "0", 1e-14, 1, 0));
        var op = OperatingPoint.Solve(n).Required;
        var i = (5 - op.Volts("a")) / 1000;
        Assert.Equal(i, 1e-14 * (Math.Exp(op.Volts("a") / 0.0258649) - 1), 8); // kT/q at 27 °C, CODATA 2018
    }

    [Fact]
    public void A_regulator_holds_drops_out_and_limits()
    {
        static double Out(double volts, double load) => OperatingPoint.Solve(new Netlist(
            new VoltageSource("V1", "in", "0", volts), new Regulator("U1", "in", "out", "0", 5), new Resistor("RL", "out", "0", load))).Required.Volts("out");

        Assert.Equal(5, Out(10, 50), 0.02);
        Assert.Equal(3, Out(5, 50), 0.03);         // 2 V dropout
        Assert.Equal(2.2, Out(10, 1), 0.03);       // 2.2 A limit into 1 Ω
    }

    [Fact]
    public void A_common_emitter_stage_with_emitter_resistor_biases_as_by_hand()
    {
        // Vb from the divider less the base current, Ve one junction below; β = 200, Is = 1e-14 A (Ebers–Moll by hand).
        var n = new Netlist(new VoltageSource("VCC", "vcc", "0", 12), new Resistor("R1", "vcc", "b", 47e3), new Resistor("R2", "b", "0", 10e3),
            new Resistor("RC", "vcc", "c", 4700), new Resistor("RE", "e", "0", 1000), new BipolarTransistor("Q1", "c", "b", "e", beta: 200, earlyVolts: double.PositiveInfinity));
        var op = OperatingPoint.Solve(n).Required;
        var ic = op.Amperes("Q1", 0);
        Assert.Equal(op.Volts("e"), (ic + ic / 200) * 1000, 6);
        Assert.Equal(op.Volts("b", "e"), 0.0258649 * Math.Log(ic / 1e-14), 6);
        Assert.Equal(12 - 4700 * ic, op.Volts("c"), 6);
    }

    [Fact]
    public void An_op_amp_follows_and_saturates_short_of_its_rails()
    {
        static double Out(double volts) => OperatingPoint.Solve(new Netlist(new VoltageSource("VP", "p", "0", 12), new VoltageSource("VN", "n", "0", -12),
            new VoltageSource("V1", "in", "0", volts), new OpAmp("U1", "in", "fb", "out", "p", "n"), new Resistor("RF", "out", "fb", 9000), new Resistor("RG", "fb", "0", 1000))).Required.Volts("out");

        Assert.Equal(5, Out(0.5), 0.005);
        Assert.Equal(10.5, Out(3), 0.1);
        Assert.Equal(-10.5, Out(-3), 0.1);
    }

    [Fact]
    public void A_lamp_at_its_rated_volts_takes_its_rated_watts_and_far_more_current_cold()
    {
        var n = new Netlist(new VoltageSource("V1", "a", "0", 6.3), new Lamp("LA1", "a", "0", 6.3, 1));
        Assert.Equal(1, OperatingPoint.Solve(n).Required.Watts("LA1"), 4);
        var faint = OperatingPoint.Solve(n.Replace("V1", new VoltageSource("V1", "a", "0", 0.0063))).Required;
        Assert.InRange(faint.Amperes("LA1") / 0.0063, 11.8 / 39.69, 12.01 / 39.69); // near the cold conductance, a twelfth
    }
}
