using Bellwire.Circuits;

namespace Core.Tests.Circuits;

/// <summary>Frequency sweeps and runs in time against closed forms and ngspice.</summary>
public class SweepAndTransientTests
{
    [Fact]
    public void A_low_pass_falls_as_its_formula()
    {
        var n = new Netlist(new VoltageSource("V1", "in", "0", 0), new Resistor("R1", "in", "out", 1000), new Capacitor("C1", "out", "0", 1e-6));
        var s = FrequencySweep.Solve(n, "V1", [10, 159.15494309189535, 10_000]).Required;
        var expected = s.Hertz.Select(f => -10 * Math.Log10(1 + Math.Pow(2 * Math.PI * f * 1e-3, 2)));
        foreach (var (mine, formula) in s.Decibels("out").Zip(expected)) Assert.Equal(formula, mine, 9);
        Assert.Equal(-45, s.Response("out")[1].Phase * 180 / Math.PI, 6);
    }

    [Fact]
    public void Sweeps_agree_with_ngspice_within_a_twentieth_of_a_decibel()
    {
        var cases = Corpus.All.Where(c => c.Name is "common emitter" or "op-amp pre-amplifier" or "output stage" or "source follower").SelectMany(c => c.Circuit.UsualFaults
            .Where((_, k) => k % 3 == 0).Select(f => (Name: $"{c.Name}, {f.Words}", Circuit: c.Circuit.Faulted(f))).Prepend(c)).ToList();
        var hertz = FrequencySweep.Decades(20, 20_000, 7).ToArray();
        string Source(Netlist n) => n.Devices.OfType<VoltageSource>().Single(v => v.Waveform is Sine).Name;
        var theirs = Ngspice.Run([.. cases.Select(c =>
        {
            var (lines, nodes) = SpiceText.Write(c.Circuit, swept: Source(c.Circuit));
            return (lines + ".options reltol=1e-6 abstol=1e-12 vntol=1e-9\n", string.Concat(hertz.Select((h, k) => $"ac lin 1 {Ngspice.N(h)} {Ngspice.N(h)}\nlet size{k}=vm({nodes["out"]})\nprint size{k}\n")));
        })]);
        var off = new List<string>();
        for (var k = 0; k < cases.Count; k++)
        {
            var mine = FrequencySweep.Solve(cases[k].Circuit, Source(cases[k].Circuit), hertz).Required.Decibels("out");
            for (var h = 0; h < hertz.Length; h++)
            {
                var other = theirs[k].TryGetValue($"size{h}", out var size) ? 20 * Math.Log10(size) : double.NaN;
                // Below −80 dB there is only what leaks through cut-off junctions, and gmin decides.
                if (!(Math.Abs(mine[h] - other) < 0.05) && !(mine[h] < -80 && other < -80)) off.Add(FormattableString.Invariant($"{cases[k].Name} at {hertz[h]:0} Hz: {mine[h]:0.000} dB against {other:0.000} dB"));
            }
        }
        Assert.True(off.Count == 0, $"{off.Count} differ:\n{string.Join('\n', off.Take(40))}");
    }

    [Fact]
    public void A_capacitor_charges_as_its_formula()
    {
        var n = new Netlist(new VoltageSource("V1", "in", "0", new Step(0, 10, 1e-3, 1e-9)), new Resistor("R1", "in", "out", 1000), new Capacitor("C1", "out", "0", 1e-6));
        var t = Transient.Run(n, new(6e-3)).Required;
        foreach (var at in new[] { 1.5e-3, 2e-3, 3e-3, 6e-3 }) Assert.Equal(10 * (1 - Math.Exp(-(at - 1e-3) / 1e-3)), t.Volts("out").At(at), 0.003);
        Assert.Equal(0, t.Volts("out").At(0.9e-3), 6);
    }

    [Fact]
    public void A_tuned_circuit_rings_at_its_frequency_and_keeps_its_energy_account()
    {
        // R 20 Ω, L 0.1 H, C 1 µF in series: ω = √(1/LC − (R/2L)²), envelope R/2L.
        var n = new Netlist(new VoltageSource("V1", "in", "0", new Step(0, 1, 0, 1e-9), 10), new Inductor("L1", "in", "m", 0.1, 10), new Capacitor("C1", "m", "0", 1e-6));
        var t = Transient.Run(n, new(10e-3) { LongestStep = 10e-6, Tolerance = 1e-6 }).Required;
        var (decay, w) = (100.0, Math.Sqrt(1e7 - 1e4));
        foreach (var at in new[] { 1e-3, 3e-3, 9.7e-3 })
            Assert.Equal(1 - Math.Exp(-decay * at) * (Math.Cos(w * at) + decay / w * Math.Sin(w * at)), t.Volts("m").At(at), 0.005);
        var spent = new[] { "V1", "L1", "C1" }.Sum(d => t.Watts(d).Mean);
        Assert.Equal(0, spent, 6);
    }

    [Fact]
    public void Switching_on_at_voltage_zero_takes_the_inrush_ngspice_found()
    {
        // reference/rectifiers: peak 7.41 A at 2.72 ms, 0.183 A²s over 0.1 s in the half winding that conducts first.
        var t = Transient.Run(RectifierTests.CentreTapped(), new(0.1) { LongestStep = 1e-4 }).Required;
        var winding = t.Amperes("V1");
        Assert.Equal(-7.41, winding.Min, 0.05);
        Assert.Equal(-7.41, winding.At(2.72e-3), 0.05);
        Assert.Equal(0.183, winding.Rms * winding.Rms * 0.1, 0.002);
    }

    [Fact]
    public void A_copy_with_another_value_goes_by_that_value()
    {
        // Closed form: √2·RMS a quarter of a period on.
        Assert.Equal(Math.Sqrt(2) * 10, (new Sine(12, 60) with { Rms = 10 }).At(1 / 240.0), 1e-12);
        Assert.Equal(Math.Sqrt(2) * 12, (new Sine(12, 60) with { Hertz = 50 }).At(1 / 200.0), 1e-12);
        Assert.Throws<ArgumentOutOfRangeException>(() => new Sine(12, 0));
        Assert.Throws<ArgumentOutOfRangeException>(() => new TransientOptions(double.NaN));
    }
}
