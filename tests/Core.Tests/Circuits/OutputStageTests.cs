using Bellwire.Circuits;
using Bellwire.Circuits.Shapes;

namespace Core.Tests.Circuits;

/// <summary>Output stages built from their shape.</summary>
public class OutputStageTests
{
    private static IEnumerable<(string Name, OutputStage Stage)> All =>
    [
        ("pair", new ComplementaryPair(16)),
        ("pair below common, 45 Ω", new ComplementaryPair(24) { Negative = true, SpeakerOhms = 45, EmitterOhms = 1, IdleAmperes = 5e-3 }),
        ("transformers", new TransformerCoupled(12)),
        ("transformers below common", new TransformerCoupled(9) { Negative = true, IdleAmperes = 6e-3, SpeakerOhms = 16 }),
        ("chip", new AmplifierChip(16.5) { IdleAmperes = 30e-3 }),
        ("chip below common", new AmplifierChip(18) { Negative = true }),
    ];

    public static TheoryData<string> Names => [.. All.Select(s => s.Name)];
    private static OutputStage Of(string name) => All.Single(s => s.Name == name).Stage;

    [Fact]
    public void Agree_with_ngspice_within_a_percent_at_rest_and_with_a_tone()
    {
        var off = ShapeTests.Judged(All.SelectMany(s => new[] { 0, 0.02 }.Select(tone =>
        {
            var c = (s.Stage with { ToneVolts = tone }).Build().Required;
            return ($"{s.Name} {tone}", c.Netlist, c.Points);
        })));
        Assert.True(off.Count == 0, string.Join('\n', off));
    }

    [Theory]
    [MemberData(nameof(Names))]
    public void Stand_at_half_the_rail_with_the_idle_current_asked_for(string name)
    {
        // Common practice, no source: mid-point at half the rail, no direct volts on the speaker behind a capacitor or winding.
        var stage = Of(name);
        var c = stage.Build().Required;
        Assert.Empty(c.Netlist.Complaints());
        var op = OperatingPoint.Solve(c.Netlist).Required;
        double At(string point) => c.Points.Single(p => p.Name == point) is var p ? op.Volts(p.Node, p.Against) : 0;
        var sign = stage.Negative ? -1 : 1;
        Assert.Equal(0, At("amp-out"), 1e-3);
        if (stage is not TransformerCoupled) Assert.Equal(sign * stage.RailVolts / 2, At("amp-half"), 0.06 * stage.RailVolts);
        // Ohm: what an emitter resistor drops is the idle current.
        if (stage is ComplementaryPair pair)
        {
            Assert.Equal(pair.IdleAmperes, sign * At("amp-down") / pair.EmitterOhms, 0.1 * pair.IdleAmperes);
            // Kirchhoff: the upper one feeds the driver's divider too.
            var divider = (At("amp-half") - op.Volts("amp-base")) / ((Resistor)c.Netlist["R101"]).Ohms;
            Assert.Equal(divider * pair.EmitterOhms, At("amp-up") - At("amp-down"), 1e-6);
        }
        if (stage is TransformerCoupled two)
        {
            Assert.Equal(2 * two.IdleAmperes, sign * At("amp-up") / two.EmitterOhms, 0.1 * 2 * two.IdleAmperes);
            Assert.Equal(sign * (two.RailVolts - two.IdleAmperes * two.HalfPrimaryOhms), At("amp-a"), 0.02 * two.RailVolts);
        }
    }

    [Theory]
    [MemberData(nameof(Names))]
    public void Every_usual_fault_of_every_part_finds_its_readings(string name)
    {
        var c = Of(name).Build().Required;
        var table = FaultTable.Build(c.Netlist, c.Points, new TableOptions { Draws = 1 });
        Assert.All(table.Rows, r => Assert.True(r.Unsolved == 0, $"{r.Words}: {r.FirstFailure?.Words}"));
    }

    [Fact]
    public void The_bias_of_the_textbook()
    {
        // Neamen, Microelectronics, ch. 8 (problem as printed): 4 mA in outputs of 2e-15 A, diodes of 4e-16 A: bias current 0.8 mA, 1.47 V between the bases (Vt 26 mV there, 25.9 here).
        // Sedra & Smith §14: diodes of an n-th of the area make an idle current of n times theirs. The emitter resistors are next to nothing.
        var c = new ComplementaryPair(20) { IdleAmperes = 4e-3, DriveAmperes = 0.8e-3, EmitterOhms = 0.01, SpeakerOhms = 1000, Output = new() { SaturationAmperes = 2e-15, Beta = 5000, EarlyVolts = double.PositiveInfinity } }.Build().Required;
        Assert.Equal(4e-16, ((Diode)c.Netlist["D101"]).SaturationAmperes, 0.01 * 4e-16);
        var op = OperatingPoint.Solve(c.Netlist).Required;
        Assert.Equal(1.473, op.Volts("amp-top", "amp-driver"), 0.015);
        Assert.Equal(5, op.Amperes("Q102", 0) / op.Amperes("D101", 0), 0.5);
    }

    [Fact]
    public void Faults_read_as_the_trade_says()
    {
        // Common practice, no source: an output transistor shorted puts the mid-point to its rail; an open bias diode drives both hard; a leaky output capacitor puts volts on the speaker.
        var c = new ComplementaryPair(16).Build().Required;
        OperatingPoint With(Fault f) => OperatingPoint.Solve(c.Netlist.Faulted(f)).Required;
        Assert.InRange(With(new Shorted("Q102", 0, 2)).Volts("amp-half"), 12, 16);
        Assert.InRange(With(new Shorted("Q103", 0, 2)).Volts("amp-half"), 0, 4);
        Assert.True(With(new Open("D101")).Volts("amp-e1", "amp-half") > 10 * 10e-3 * 0.47);
        Assert.True(With(new Shorted("D101")).Volts("amp-half", "amp-e2") < 0.1 * 10e-3 * 0.47); // crossover: no idle current left
        Assert.InRange(With(new Leaky("C103", 100)).Volts("amp-out"), 0.3, 1);
    }

    [Fact]
    public void Gain_and_low_end_are_the_closed_forms()
    {
        // Non-inverting gain of 50: 33.98 dB; the speaker's 8 Ω behind 1000 µF is 3 dB down at 1/(2πRC) – here with a plain resistor for a speaker.
        var c = new AmplifierChip(16).Build().Required;
        var n = c.Netlist.Replace("SP101", new Resistor("SP101", "amp-out", "0", 8));
        var sweep = FrequencySweep.Solve(n, OutputStage.Tone, [1 / (2 * Math.PI * 8 * 1000e-6), 1000]).Required;
        Assert.Equal(20 * Math.Log10(50 * 22e3 / 22.6e3), sweep.Decibels("amp-half")[1], 0.2); // 600 Ω before 22 kΩ
        Assert.Equal(-3.01, (sweep.Decibels("amp-out")[0] - sweep.Decibels("amp-half")[0]), 0.2);
    }

    [Fact]
    public void A_stage_stands_behind_its_supply()
    {
        var supply = new SupplyShape(RectifierKind.CentreTap, new(13.5) { SecondaryOhms = 0.9, PrimaryOhms = 28 }, new(2200e-6)) { Loads = [new("raw") { Amperes = 0.2, AtVolts = 16.5 }] }.Build().Required;
        var built = new ComplementaryPair(16.5).On(supply, "raw").Required;
        var s = SteadyState.Solve(built.Netlist).Required;
        Assert.Equal(s.Volts("raw").Mean / 2, s.Volts("amp-half").Mean, 0.06 * s.Volts("raw").Mean);
        Assert.Contains(built.Points, p => p.Name == "raw");
        Assert.Contains(built.Points, p => p.Name == "amp-half");
        Assert.Contains(new ComplementaryPair(16.5).On(supply, "12v").Complaints, k => k.Words.Contains("there are raw", StringComparison.Ordinal));
    }

    [Fact]
    public void Unreasonable_values_are_named()
    {
        Assert.Contains(new ComplementaryPair(double.NaN).Build().Complaints, k => k.Field == "RailVolts" && k.Words.Contains("3 and 100 V", StringComparison.Ordinal));
        Assert.Contains(new ComplementaryPair(12) { EmitterOhms = 0 }.Build().Complaints, k => k.Field == "EmitterOhms");
        Assert.Contains(new TransformerCoupled(6) { IdleAmperes = 1, EmitterOhms = 10 }.Build().Complaints, k => k.Field == "IdleAmperes");
        Assert.Contains(new AmplifierChip(12) { OutputCapacitor = new(0) }.Build().Complaints, k => k.Field == "OutputCapacitor.Farads");
    }
}
