using Bellwire.Signals;

namespace Core.Tests.Signals;

public class BalanceTests
{
    private const int Rate = 48_000;

    [Theory]
    [InlineData("pink")]
    [InlineData("sweep")]
    public void The_gain_between_two_channels_is_found_on_a_wide_sound(string sound)
    {
        var x = (sound == "pink" ? TestSignals.Pink(Rate, 6, -20, 3) : TestSignals.Sweep(Rate, new() { Seconds = 6 }))[0].ToArray();
        // −3.5 dB by construction, and hiss of its own 60 dB down.
        var hiss = Make.Noise(5, x.Length, 1e-4);
        var y = x.Select((v, n) => v * Math.Pow(10, -3.5 / 20) + hiss[n]).ToArray();
        var (balance, _) = Balance.Measure(x, y, Rate);
        Assert.Equal(-3.5, balance!.Db, 0.05);
        Assert.Equal(21, balance.Bands.Length);
        Assert.All(balance.Bands, b => Assert.Equal(-3.5, b.Db, 0.3));
        // The other way round it is the other way round.
        Assert.Equal(-balance.Db, Balance.Measure(y, x, Rate).Result!.Db, 1e-9);
    }

    [Fact]
    public void Where_one_channel_lacks_its_treble_is_told()
    {
        var x = TestSignals.Pink(Rate, 6, -20, 4)[0].ToArray();
        // One pole at 2 kHz: y += a (x − y), a = 1 − e^(−2πf/rate).
        var (y, a, last) = (new double[x.Length], 1 - Math.Exp(-2 * Math.PI * 2000 / Rate), 0.0);
        for (var n = 0; n < x.Length; n++) y[n] = last += a * (x[n] - last);
        var (balance, _) = Balance.Measure(x, y, Rate);
        Assert.Equal(10_000, balance!.WorstHertz, 1.0);
        foreach (var (hertz, db) in balance.Bands)
        {
            // |H|² = a² / (1 − 2(1−a) cos ω + (1−a)²), at the centre of the band (closed form).
            var (b, w) = (1 - a, 2 * Math.PI * hertz / Rate);
            Assert.Equal(10 * Math.Log10(a * a / (1 - 2 * b * Math.Cos(w) + b * b)), db, 0.25);
        }
    }

    [Fact]
    public void What_cannot_be_compared_is_refused_in_words()
    {
        var (tone, silence, pink) = (Make.Sine(Rate, 3, 1000, 0.5), new double[3 * Rate], TestSignals.Pink(Rate, 3, -20, 4)[0].ToArray());
        Assert.Contains("third octaves", Balance.Measure(tone, tone, Rate).Why, StringComparison.Ordinal);
        Assert.Contains("second channel is silent", Balance.Measure(pink, silence, Rate).Why, StringComparison.Ordinal);
        Assert.Contains("first channel is silent", Balance.Measure(silence, pink, Rate).Why, StringComparison.Ordinal);
        Assert.Contains("second of recording", Balance.Measure(pink.AsSpan(0, 100), pink.AsSpan(0, 100), Rate).Why, StringComparison.Ordinal);
        Assert.Throws<ArgumentException>(() => Balance.Measure(pink, tone.AsSpan(1), Rate));
    }
}
