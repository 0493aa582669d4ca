using Bellwire.Signals;
using Core.Tests.Reasoning;
using CsCheck;

namespace Core.Tests.Signals;

public class HumTests
{
    private const int Rate = 16000;

    [Theory]
    [InlineData(60, 0.2, 48000, 10)]
    [InlineData(60, -0.17, 44100, 10)]
    [InlineData(50, -0.2, 8000, 5)]
    [InlineData(50, 0.11, 48000, 40)]
    public void Harmonics_of_a_line_that_is_off_are_found_under_noise(double line, double off, int rate, double seconds)
    {
        // Octave's recording: known harmonics, white noise 20 dB below them, 16 bit.
        var f = FormattableString.Invariant($"{line + off}");
        var sound = Judges.Octave($"fs={rate}; randn('seed',2); t=(0:{seconds}*fs-1)'/fs; a=[0.1 0.05 0.03 0.02 0.01 0.01]; x=0*t; for k=1:6 x+=a(k)*sin(2*pi*{f}*k*t+k*k); end; x+=0.1*sqrt(sum(a.^2)/2)*randn(size(t))", 16);
        var hum = HumMeter.Measure(sound[0], sound.Rate, line)!;
        Assert.Equal(line + off, hum.LineHertz, 0.01);
        double[] peaks = [0.1, 0.05, 0.03, 0.02, 0.01, 0.01];
        for (var k = 0; k < 6; k++)
        {
            var wrong = Decibels.Of(hum.Lines[k].Peak / peaks[k]);
            Assert.True(Math.Abs(wrong) < 0.3 && Math.Abs(wrong) < Math.Max(0.1, 1.5 * hum.Lines[k].UncertaintyDb), $"order {k + 1}: {wrong} dB, said ± {hum.Lines[k].UncertaintyDb}");
        }
        Assert.All(hum.Lines.Skip(6), l => Assert.True(l.Peak < 0.002, $"order {l.Order}: {l.Peak}"));
    }

    [Fact]
    public void Harmonics_equal_the_plain_transform_where_that_is_exact()
    {
        // Whole periods in whole bins: the definition of the transform gives the amplitudes without a window.
        var x = Make.Sum(Make.Sine(4000, 1, 50, 0.1, 1), Make.Sine(4000, 1, 100, 0.2, 2), Make.Sine(4000, 1, 250, 0.05));
        var (re, im) = PlainDft.Of(x.AsSpan(0, 4000));
        var hum = HumMeter.Measure(Enumerable.Repeat(x, 8).SelectMany(v => v).ToArray(), 4000, 50)!;
        foreach (var k in new[] { 1, 2, 5 })
            Assert.Equal(0, Decibels.Of(hum.Lines[k - 1].Peak / (2 * Math.Sqrt(re[50 * k] * re[50 * k] + im[50 * k] * im[50 * k]) / 4000)), 0.02);
    }

    [Fact]
    public void Known_supplies_get_their_verdict_through_any_smooth_response()
    {
        var supplies = Reference.Read("audio-hum", "values.json").EnumerateObject().Select(p => (p.Name,
            Peaks: Enumerable.Range(1, 6).Select(k => p.Value.TryGetProperty($"{k}", out var v) ? v.GetDouble() : 0).ToArray(),
            Verdict: Enum.Parse<HumKind>(p.Value.GetProperty("verdict").GetString()!))).ToList();
        // Pick-up by common practice: the line with odd harmonics, even ones 25 dB down.
        supplies.Add(("pick-up", [0.3, 0.01, 0.1, 0.004, 0.03, 0.002], HumKind.PickUp));
        (from s in Gen.Int[0, supplies.Count - 1] from lowCut in Gen.Double[5, 200] from highCut in Gen.Double[150, 3000] from order in Gen.Int[0, 2] from line in Gen.Bool from seed in Gen.Int select (s, lowCut, highCut, order, line, seed)).Sample(c =>
        {
            var f = (c.line ? 50 : 60) + new Random(c.seed).NextDouble() * 0.4 - 0.2;
            double Response(double hertz) => Math.Pow(1 + Math.Pow(c.lowCut / hertz, 2), -c.order / 2.0) / Math.Sqrt(1 + Math.Pow(hertz / c.highCut, 2));
            var peaks = supplies[c.s].Peaks;
            var gain = 0.1 / peaks.Max();
            var x = Make.Sum([.. Enumerable.Range(1, 6).Where(k => peaks[k - 1] > 0).Select(k => Make.Sine(Rate, 10, f * k, gain * peaks[k - 1] * Response(f * k), k)), Make.Noise(c.seed, Rate * 10, 1e-4)]);
            var verdict = HumVerdict.Of(HumMeter.Measure(x, Rate, c.line ? 50 : 60)!);
            Assert.True(verdict.Kind == supplies[c.s].Verdict && verdict.MarginDb > 0, $"{supplies[c.s].Name} through {c.lowCut:0}–{c.highCut:0} Hz: {verdict}");
            Assert.NotEmpty(verdict.Warnings);
        }, iter: 40);
    }

    // Judge: ngspice simulates the supply; its waveform is the recording. 12 V RMS a half, 60 Hz, 1 Ω, 2200 µF (or 100 µF and 3 Ω), 47 Ω.
    [Theory]
    [InlineData(true, 2200, 0.01, HumKind.Ripple)]
    [InlineData(false, 2200, 0.01, HumKind.HalfMissing)]
    [InlineData(true, 100, 3, HumKind.Ripple)]
    [InlineData(false, 470, 0.5, HumKind.HalfMissing)]
    public void A_simulated_supply_is_judged_by_its_own_ripple(bool both, double microfarads, double esr, HumKind kind)
    {
        var folder = Directory.CreateTempSubdirectory("bellwire-hum-").FullName;
        try
        {
            File.WriteAllText(Path.Combine(folder, "supply.cir"), FormattableString.Invariant($"""
                supply
                V1 a 0 SIN(0 16.9706 60)
                V2 b 0 SIN(0 -16.9706 60)
                R1 a a1 1
                R2 b b1 1
                D1 a1 out d
                {(both ? "D2 b1 out d" : "R3 b1 0 1meg")}
                .model d D(IS=14.11n N=1.984 RS=33.89m)
                C1 out c {microfarads}u
                R4 c 0 {esr}
                RL out 0 47
                .control
                set wr_singlescale
                tran 40u 2.2 0 40u
                linearize v(out)
                wrdata {Path.Combine(folder, "out.txt")} v(out)
                quit 0
                .endc
                .end
                """));
            Judges.Run("ngspice", "-b", Path.Combine(folder, "supply.cir"));
            var volts = File.ReadLines(Path.Combine(folder, "out.txt")).Select(l => double.Parse(l.Trim().Split(' ', StringSplitOptions.RemoveEmptyEntries)[1], System.Globalization.CultureInfo.InvariantCulture)).Skip(12_500).Take(42_500).ToArray();
            var verdict = HumVerdict.Of(HumMeter.Measure(Make.Times(volts, 0.05), 25_000, 60)!);
            Assert.True(verdict.Kind == kind && verdict.MarginDb > 0, verdict.ToString());
        }
        finally { Directory.Delete(folder, recursive: true); }
    }

    [Fact]
    public void Music_over_it_does_not_change_the_verdict()
    {
        var random = new Random(5);
        var music = new double[Rate * 30];
        // Half-second notes of the equal-tempered scale (A4 = 440 Hz, ISO 16) with three partials, two voices, 20 dB above the hum.
        for (var voice = 0; voice < 2; voice++)
            for (var note = 0; note < 60; note++)
            {
                var f = 440 * Math.Pow(2, random.Next(-24, 12) / 12.0);
                for (var n = 0; n < Rate / 2; n++)
                {
                    var t = (double)n / Rate;
                    music[note * Rate / 2 + n] += 0.15 * Math.Exp(-4 * t) * Math.Min(1, t * 200) * (Math.Sin(2 * Math.PI * f * t) + 0.5 * Math.Sin(4 * Math.PI * f * t) + 0.3 * Math.Sin(6 * Math.PI * f * t));
                }
            }
        double[] half = [0.02, 0.009, 0.005, 0.003, 0.0016, 0.0008], dry = [0, 0.02, 0, 0.0076, 0, 0.003], odd = [0.02, 0, 0.008, 0, 0.003, 0];
        foreach (var (peaks, kind) in new[] { (half, HumKind.HalfMissing), (dry, HumKind.Ripple), (odd, HumKind.PickUp) })
        {
            var x = Make.Sum([music, .. Enumerable.Range(1, 6).Select(k => Make.Sine(Rate, 30, 59.93 * k, peaks[k - 1], k))]);
            var hum = HumMeter.Measure(x, Rate, 60)!;
            Assert.Equal(59.93, hum.LineHertz, 0.03);
            Assert.Equal(0, Decibels.Of(hum.Rms / Math.Sqrt(peaks.Sum(p => p * p) / 2)), 1.0);
            // The music hides the weak lines: odd ones alone may stay undecided, but no verdict may be wrong.
            var verdict = HumVerdict.Of(hum);
            Assert.True(verdict.Kind == kind || (kind == HumKind.PickUp && verdict.Kind == HumKind.Unclear), verdict.ToString());
        }
        Assert.Equal(HumKind.None, HumVerdict.Of(HumMeter.Measure(music, Rate, 60)!, floorDbfs: -50).Kind);
    }

    [Fact]
    public void Without_hum_there_is_none()
    {
        for (var seed = 1; seed <= 20; seed++)
        {
            var hum = HumMeter.Measure(Make.Noise(seed, Rate * (seed % 5 == 0 ? 1 : 6), 0.01), Rate, seed % 2 == 0 ? 50 : 60)!;
            Assert.True(hum.Lines.Count(l => l.Found) <= 1, $"seed {seed}: {hum.Lines.Count(l => l.Found)} found in noise");
            Assert.True(hum.Rms < 2e-3, $"seed {seed}: {hum.Rms}");
        }
        Assert.Equal(HumKind.None, HumVerdict.Of(HumMeter.Measure(new double[Rate * 5], Rate, 60)!).Kind);
        Assert.Null(HumMeter.Measure(new double[Rate / 2], Rate, 60));
        Assert.Throws<ArgumentOutOfRangeException>(() => new HumMeter(48000, 0));
    }

    [Theory]
    [InlineData("1:40", HumKind.HalfMissing)]
    [InlineData("2:2:40", HumKind.Ripple)]
    [InlineData("1:2:40", HumKind.PickUp)]
    public void An_owners_telephone_still_tells_the_story(string orders, HumKind kind)
    {
        // Octave: three first-order cuts below 300 Hz and above 3.4 kHz, coarse steps, noise; orders 1 to 4 hardly get through.
        var sound = Judges.Octave($"fs=16000; randn('seed',3); t=(0:12*fs-1)'/fs; h=tan(pi*300/fs); l=tan(pi*3400/fs); x=0*t; for k={orders} x+=sin(2*pi*60.04*k*t+k*k)*0.25/k^1.3; end; for k=1:3 x=filter([1 -1]/(1+h),[1 (h-1)/(h+1)],filter([l l]/(1+l),[1 (l-1)/(l+1)],x)); end; x=round((x+0.003*randn(size(t)))*2000)/2000", 16);
        var verdict = HumVerdict.Of(HumMeter.Measure(sound[0], sound.Rate, 60)!);
        Assert.True(verdict.Kind == kind && verdict.MarginDb > 0, verdict.ToString());
    }

    [Fact]
    public void The_null_run_is_taken_off_or_the_verdict_is_refused()
    {
        var lead = Make.Sum(Make.Sine(Rate, 10, 60.05, 0.01), Make.Sine(Rate, 10, 180.15, 0.003), Make.Noise(1, Rate * 10, 1e-4));
        var ripple = Make.Sum(Make.Sine(Rate, 10, 120.1, 0.1), Make.Sine(Rate, 10, 240.2, 0.035), Make.Sine(Rate, 10, 360.3, 0.012));
        var off = HumMeter.Measure(lead, Rate, 60)!;
        Assert.Equal(HumKind.PickUp, HumVerdict.Of(off).Kind);
        var refused = HumVerdict.Of(HumMeter.Measure(Make.Times(lead, 1.4), Rate, 60)!, off);
        Assert.Equal(HumKind.Lead, refused.Kind);
        Assert.True(refused.MarginDb < 0);
        Assert.Contains("That was the lead", refused.Words);
        var both = HumVerdict.Of(HumMeter.Measure(Make.Sum(lead, ripple), Rate, 60)!, off);
        Assert.Equal(HumKind.Ripple, both.Kind);
        Assert.True(both.MarginDb > 0 && both.Warnings.IsEmpty, both.ToString());
        // Phase does not matter, gain of both runs neither.
        Assert.Equal(both.StandOutDb, HumVerdict.Of(HumMeter.Measure(Make.Times(Make.Sum(lead, ripple), -0.5), Rate, 60)!, HumMeter.Measure(Make.Times(lead, 0.5), Rate, 60)!).StandOutDb, 0.01);
    }

    [Fact]
    public void A_mixture_is_refused_or_named()
    {
        // Odd and even lines half-way between two stories.
        double[] peaks = [0.1, 0.1 * Math.Pow(10, 5.6 / 20.0 - 0.3), 0.025, 0.025 * Math.Pow(10, 5.6 / 20.0 - 0.3), 0.00625, 0.00625 * Math.Pow(10, 5.6 / 20.0 - 0.3)];
        var x = Make.Sum([.. Enumerable.Range(1, 6).Select(k => Make.Sine(Rate, 10, 60 * k, peaks[k - 1], k)), Make.Noise(3, Rate * 10, 0.01)]);
        var verdict = HumVerdict.Of(HumMeter.Measure(x, Rate, 60)!);
        Assert.True(verdict.Kind == HumKind.Unclear && verdict.MarginDb < 0 && verdict.Words.Contains("Two stories"), verdict.ToString());
    }
}
