using Bellwire.Signals;
using Core.Tests.Reasoning;
using CsCheck;

namespace Core.Tests.Signals;

public class LevelAndToneTests
{
    [Fact]
    public void Weightings_read_as_published()
    {
        var published = Reference.Read("audio-weighting", "values.json");
        foreach (var (name, weighting) in new[] { ("a", Weighting.A), ("c", Weighting.C), ("itu468", Weighting.Itu468), ("lineHarmonicsA", Weighting.A) })
            foreach (var row in published.GetProperty(name).EnumerateArray())
                Reference.Near(row[1], Decibels.Of(weighting.Gain(row[0].GetDouble())), $"{name} at {row[0]} Hz");
        var power = Enumerable.Range(20, 19980).Average(f => Math.Pow(Weighting.A.Gain(f + 0.5), 2));
        Reference.Near(published.GetProperty("whiteNoiseA20To20k"), Decibels.OfPower(power), "white noise");
    }

    // Judge: sox stats on the same file.
    [Fact]
    public void Level_is_what_another_program_says()
    {
        var file = Path.Combine(Path.GetTempPath(), $"bellwire-level-{Guid.NewGuid():N}.wav");
        try
        {
            Judges.Run("sox", "-R", "-n", "-r", "48000", "-b", "24", file, "synth", "2", "pinknoise", "synth", "2", "sine", "mix", "1000", "gain", "-7", "dcshift", "0.01");
            var theirs = Judges.Run("sox", file, "-n", "stats");
            var sound = Judges.Load(file);
            var ours = LevelMeter.Measure(sound[0], sound.Rate);
            Assert.Equal(Judges.Number(theirs, "DC offset"), ours.Dc, 1e-6);
            Assert.Equal(Judges.Number(theirs, "RMS lev dB"), ours.RmsDbfs, 0.01);
            Assert.Equal(Judges.Number(theirs, "Pk lev dB"), ours.PeakDbfs, 0.01);
            Assert.Equal(Judges.Number(theirs, "Crest factor"), Decibels.Ratio(ours.CrestDb), 0.01);
        }
        finally { File.Delete(file); }
    }

    // References of level: 0 dBu = 0.7746 V, 0 dBV = +2.218 dBu, sine crest 3.0103 dB (common audio references).
    [Fact]
    public void A_calibrated_level_is_told_in_volts()
    {
        var level = LevelMeter.Measure(Make.Sine(48000, 1, 1000, 0.5), 48000);
        Assert.Equal(3.0103, level.CrestDb, 1e-3);
        Assert.Equal(-9.031, level.RmsDbfs, 1e-3);
        var calibration = Calibration.From(level, 1, 0.1);
        Assert.Equal(2.218, calibration.Dbu(level.AcRms), 1e-3);
        Assert.Equal(0, calibration.Dbv(level.AcRms), 1e-9);
        Assert.Throws<ArgumentOutOfRangeException>(() => new Calibration(double.NaN, 0));
    }

    [Fact]
    public void Frequency_level_and_phase_of_a_tone_under_noise_hum_and_harmonics()
    {
        // Known truth: 1 s, 20 dB of noise, a third harmonic of 10 %, hum of 5 %.
        (from f in Gen.Double[60, 9000] from phase in Gen.Double[-3, 3] from peak in Gen.Double[0.01, 0.9] from rate in Gen.Bool.Select(b => b ? 22050 : 48000) from seed in Gen.Int select (f, phase, peak, rate, seed)).Sample(c =>
        {
            var x = Make.Sum(Make.Sine(c.rate, 1, c.f, c.peak, c.phase), Make.Sine(c.rate, 1, 3 * c.f % (c.rate / 2), 0.1 * c.peak), Make.Sine(c.rate, 1, 31, 0.05 * c.peak), Make.Noise(c.seed, c.rate, 0.01 * c.peak));
            var tone = Assert.IsType<Tone>(SineFit.Measure(x, c.rate, c.f * 1.001));
            Assert.Equal(c.f, tone.Hertz, 0.01);
            Assert.Equal(0, Decibels.Of(tone.Peak / c.peak), 0.05);
            Assert.Equal(0, Math.IEEERemainder(tone.Phase - c.phase, 2 * Math.PI), 0.05);
        }, iter: 20, threads: 1);
    }

    [Fact]
    public void Without_a_tone_there_is_none()
    {
        Assert.IsType<NoTone>(SineFit.Measure(new double[48000], 48000));
        Assert.Contains("too short", Assert.IsType<NoTone>(SineFit.Measure(new double[10], 48000)).Why);
        Assert.Contains("too short", Assert.IsType<NoTone>(SineFit.Measure(Make.Sine(48000, 0.06, 50, 1), 48000, 50)).Why);
    }

    [Fact]
    public void Distortion_of_known_waves_is_the_published_one()
    {
        var published = Reference.Read("audio-distortion", "values.json");
        // Judge of the recording: octave makes it, oversampled, so that no alias falls into the band.
        foreach (var row in published.GetProperty("clipped").EnumerateArray())
        {
            var sound = Judges.Octave($"fs=192000; t=(0:fs-1)'/fs; x=0.9*max(-{row[0]},min({row[0]},sin(2*pi*101.3*t)))");
            var heard = DistortionMeter.Measure(sound[0], sound.Rate, highHertz: 90_000).Result!;
            var expected = row[1][0].GetDouble();
            Assert.True(Math.Abs(heard.Thd / expected - 1) < 0.01, $"{row[0]}: {heard.Thd} against {expected}");
        }
        static double[] Series(Func<int, double> peak, int orders) => Make.Sum([.. Enumerable.Range(1, orders).Where(k => peak(k) != 0).Select(k => Make.Sine(96000, 1, 1000 * k, 0.4 * peak(k)))]);
        void Near(string name, double[] x) => Reference.Near(published.GetProperty(name), DistortionMeter.Measure(x, 96000).Result!.Thd, name);
        Near("square20k", Series(k => k % 2 == 1 ? 1.0 / k : 0, 41));
        Near("triangle20k", Series(k => k % 2 == 1 ? Math.Pow(-1, k / 2) / k / k : 0, 41));
        Near("saw20", Series(k => 1.0 / k, 41));
    }

    [Theory]
    [InlineData(0.001)]
    [InlineData(0.01)]
    [InlineData(0.1)]
    public void Small_distortion_is_within_three_parts_in_a_hundred(double thd)
    {
        // Octave writes 24-bit files: fundamental, second and third, noise 80 dB below.
        var a = thd.ToString(System.Globalization.CultureInfo.InvariantCulture);
        var sound = Judges.Octave($"fs=48000; randn('seed',1); t=(0:2*fs-1)'/fs; x=0.5*sin(2*pi*997.3*t)+0.5*{a}*(0.8*sin(2*pi*1994.6*t+1)+0.6*sin(2*pi*2991.9*t+2))+0.5e-4*randn(size(t))", 24);
        var heard = DistortionMeter.Measure(sound[0], sound.Rate).Result!;
        Assert.True(Math.Abs(heard.Thd / thd - 1) < 0.03, $"{heard.Thd}");
        Assert.True(Math.Abs(heard.Thd - thd) < 2 * heard.ThdUncertainty + 1e-4 * thd, $"{heard.Thd} ± {heard.ThdUncertainty}");
        // THD+N re everything: √(h² + n²)/√(1 + h² + n²), noise cut to 20 Hz–20 kHz.
        var n = Math.Sqrt(2) * 1e-4 * Math.Sqrt(19980 / 24000.0);
        Assert.Equal(Math.Sqrt((thd * thd + n * n) / (1 + thd * thd + n * n)), heard.ThdPlusNoise, 0.01 * thd + 2e-6);
    }

    [Fact]
    public void Noise_of_a_known_density_reads_so_in_every_weighting()
    {
        var x = Make.Noise(3, 48000 * 10, 0.1);
        var spectrum = SpectrumMeter.Measure(x, 48000, 8192, Window.Hann)!;
        var noise = Noise.Of(spectrum, 20, 20_000);
        var flat = Decibels.Of(0.1) + Decibels.OfPower(19980 / 24000.0);
        Assert.Equal(flat, noise.UnweightedDbfs, 0.05);
        Assert.Equal(flat - 2.05, noise.ADbfs, 0.05); // IEC 61672-1: white noise 20 Hz to 20 kHz
        Assert.InRange(noise.UnweightedDbfs, flat - noise.How.UncertaintyDb, flat + noise.How.UncertaintyDb);
        Assert.Equal(20 - Decibels.OfPower(19980 / 24000.0) - 3.01, noise.SnrDb(1 / Math.Sqrt(2)), 0.05);
        // All bins together are the mean square, whatever the window (Parseval); a tone reads its peak at its bin.
        Assert.Equal(LevelMeter.Measure(x, 48000).Rms, Math.Sqrt(spectrum.MeanSquare.Sum()), 0.0005);
        Assert.Equal(0.3, SpectrumMeter.Measure(Make.Sine(48000, 1, 3000, 0.3), 48000, 4096, Window.FlatTop)!.Peak(256), 1e-6);
    }

    [Fact]
    public void Gain_and_delay_change_what_they_must_and_nothing_else()
    {
        var x = Make.Sum(Make.Sine(48000, 2, 440, 0.3), Make.Sine(48000, 2, 880, 0.01), Make.Noise(1, 96000, 1e-4));
        var a = DistortionMeter.Measure(x, 48000).Result!;
        foreach (var gain in new[] { -1, 0.01, 3.0 })
        {
            var b = DistortionMeter.Measure(Make.Times(x, gain), 48000).Result!;
            Assert.Equal(a.Thd, b.Thd, 1e-9);
            Assert.Equal(a.Fundamental.Hertz, b.Fundamental.Hertz, 1e-7);
            Assert.Equal(Math.Abs(gain), b.Fundamental.Peak / a.Fundamental.Peak, 1e-9);
        }
        var shifted = DistortionMeter.Measure(x[12345..], 48000).Result!;
        Assert.Equal(1, shifted.Thd / a.Thd, 1e-2);
        Assert.Equal(0, Math.IEEERemainder(shifted.Fundamental.Phase - a.Fundamental.Phase - 2 * Math.PI * a.Fundamental.Hertz * 12345 / 48000, 2 * Math.PI), 1e-3);
    }
}
