using Bellwire.Signals;

namespace Core.Tests.Signals;

public class TroubleTests
{
    [Fact]
    public void Clipping_is_found_at_its_level_and_not_where_there_is_none()
    {
        var clean = Make.Sum(Make.Sine(48000, 3, 440, 0.6), Make.Noise(1, 144000, 0.001));
        Assert.False(TroubleMeter.Measure(clean, 48000).Clipped);
        var clipped = TroubleMeter.Measure([.. clean.Select(x => Math.Clamp(x, -0.5, 0.5))], 48000);
        Assert.True(clipped.Clipped && clipped.ClipLevel == 0.5);
        // The share above k of a sine is 2/π·acos(k) of all samples.
        Assert.Equal(2 / Math.PI * Math.Acos(0.5 / 0.6), clipped.ClippedShare, 0.01);
        Assert.False(TroubleMeter.Measure(new double[10000], 48000).Clipped);
        // A slow or quiet wave in 16-bit steps has flat tops too, and is not clipped; a mild clip of the same wave is.
        foreach (var (hertz, peak) in new[] { (1000, 0.7), (60, 0.03), (50, 0.9), (60, 0.0005), (220, 0.001) })
        {
            var stepped = Wav.Read(Wav.Bytes(new Sound(48000, Make.Sine(48000, 2, hertz, peak)))).Channels[0];
            Assert.False(TroubleMeter.Measure(stepped, 48000).Clipped, $"{hertz} Hz at {peak}");
            if (peak < 0.01) continue;
            var mild = Wav.Read(Wav.Bytes(new Sound(48000, [.. stepped.Select(x => Math.Clamp(x, -0.97 * peak, 0.97 * peak))]))).Channels[0];
            Assert.True(TroubleMeter.Measure(mild, 48000).Clipped, $"{hertz} Hz at {peak}, clipped");
        }
        Assert.False(TroubleMeter.Measure(Wav.Read(Wav.Bytes(new Sound(48000, Make.Noise(5, 96000, 2e-5)))).Channels[0], 48000).Clipped);
    }

    [Fact]
    public void Clicks_and_drop_outs_are_found_where_they_were_put()
    {
        var x = Make.Sum(Make.Sine(48000, 8, 300, 0.2), Make.Sine(48000, 8, 1100, 0.1), Make.Noise(2, 8 * 48000, 0.001));
        foreach (var at in new[] { 2.0, 3.5, 6.25 }) x[(int)(at * 48000)] += 0.2;
        for (var n = (int)(4.5 * 48000); n < (int)(4.6 * 48000); n++) x[n] *= 0.01;
        var found = TroubleMeter.Measure(x, 48000);
        var drop = Assert.Single(found.DropOuts);
        Assert.Equal(4.5, drop.At, 0.006);
        Assert.Equal(0.1, drop.Seconds, 0.011);
        Assert.InRange(drop.Db, 20, 50);
        var clicks = found.Clicks.Where(c => Math.Abs(c.At - 4.55) > 0.07).Select(c => c.At).ToArray();
        Assert.Equal(3, clicks.Length);
        Assert.Equal([2.0, 3.5, 6.25], clicks.Select(c => Math.Round(c, 3)));
        Assert.Empty(TroubleMeter.Measure(Make.Noise(4, 8 * 48000, 0.1), 48000).Clicks);
        Assert.Empty(TroubleMeter.Measure(Make.Noise(4, 8 * 48000, 0.1), 48000).DropOuts);
    }

    [Fact]
    public void A_listener_hears_in_blocks_what_is_heard_at_once()
    {
        var (left, right) = (Make.Sum(Make.Sine(22050, 9, 60.1, 0.1), Make.Noise(1, 9 * 22050, 0.01)), Make.Noise(2, 9 * 22050, 0.05));
        var listener = new Listener(22050, 2, new());
        for (var at = 0; at < left.Length;)
        {
            var n = Math.Min(7777, left.Length - at);
            listener.Feed([left[at..(at + n)], right[at..(at + n)]], n);
            at += n;
        }
        var heard = listener.Finish();
        Assert.Equal(LevelMeter.Measure(left, 22050).Rms, heard[0].Level.Rms, 1e-12);
        Assert.Equal(HumMeter.Measure(left, 22050, 60)!.Lines[0].Peak, heard[0].Hum!.Lines[0].Peak, 1e-9);
        Assert.Equal(SpectrumMeter.Measure(right, 22050, 16384, Window.Hann)!.MeanSquare[100], heard[1].Spectrum!.MeanSquare[100], 1e-15);
        Assert.Contains("leaves nothing above", Assert.Single(heard[1].Noise!.How.Warnings));
    }
}
