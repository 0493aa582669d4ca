using Bellwire.Signals;
using Core.Tests.Reasoning;
using CsCheck;
using MathNet.Numerics.IntegralTransforms;

namespace Core.Tests.Signals;

public class SpectrumToolTests
{
    [Theory]
    [InlineData(2)]
    [InlineData(4)]
    [InlineData(8)]
    [InlineData(64)]
    [InlineData(512)]
    public void The_fast_transform_equals_the_definition(int length)
    {
        var x = Make.Noise(length, length);
        var plain = PlainDft.Of(x);
        var (re, im) = Fast(x);
        for (var k = 0; k <= length / 2; k++)
        {
            Assert.Equal(plain.Real[k], re[k], 1e-10);
            Assert.Equal(plain.Imaginary[k], im[k], 1e-10);
        }
    }

    // Judge: MathNet.Numerics 5, scaling by its "no scaling" convention.
    [Fact]
    public void The_fast_transform_equals_a_library()
    {
        var x = Make.Noise(7, 1 << 15);
        var theirs = x.Select(v => new System.Numerics.Complex(v, 0)).ToArray();
        Fourier.Forward(theirs, FourierOptions.NoScaling);
        var (re, im) = Fast(x);
        for (var k = 0; k < re.Length; k++) Assert.True((theirs[k] - new System.Numerics.Complex(re[k], im[k])).Magnitude < 1e-8, $"bin {k}");
    }

    [Fact]
    public void Back_and_forth_is_the_same_and_the_power_is_kept()
    {
        Gen.Int[1, 12].Select(Gen.Int[1, 1 << 20]).Sample((bits, seed) =>
        {
            var x = Make.Noise(seed, 1 << bits);
            var (re, im) = Fast(x);
            // Parseval for a real sequence: the inner bins count twice.
            var power = Enumerable.Range(0, re.Length).Sum(k => (k == 0 || k == re.Length - 1 ? 1 : 2) * (re[k] * re[k] + im[k] * im[k])) / x.Length;
            Assert.Equal(1, power / x.Sum(v => v * v), 1e-11);
            var back = new double[x.Length];
            RealFft.Of(x.Length).Inverse(re, im, back);
            for (var n = 0; n < x.Length; n++) Assert.Equal(x[n], back[n], 1e-11);
        }, iter: 60);
    }

    [Fact]
    public void Windows_have_the_published_noise_bandwidth_and_scalloping()
    {
        var published = Reference.Read("audio-windows", "values.json");
        foreach (var window in Window.All)
        {
            var values = published.GetProperty(window.Name);
            Reference.Near(values.GetProperty("noiseBins"), window.NoiseBins, window.Name + " noise bandwidth");
            Reference.Near(values.GetProperty("scallopingDb"), window.ScallopingDb, window.Name + " scalloping");
        }
    }

    [Fact]
    public void A_windows_closed_form_is_what_its_samples_do()
    {
        foreach (var window in Window.All)
        {
            var w = window.Samples(4096);
            Assert.Equal(w.Length * w.Sum(v => v * v) / Math.Pow(w.Sum(), 2), window.NoiseBins, 1e-9);
            foreach (var bins in new[] { 0.25, 0.5, 1.0, 2.3, 7.7 })
            {
                double re = 0, im = 0;
                for (var n = 0; n < w.Length; n++) { re += w[n] * Math.Cos(2 * Math.PI * bins * n / w.Length); im += w[n] * Math.Sin(2 * Math.PI * bins * n / w.Length); }
                Assert.Equal(Math.Sqrt(re * re + im * im) / w.Length, window.Kernel(bins), 1e-5);
            }
        }
    }

    [Fact]
    public void Wrong_lengths_are_refused_by_name()
    {
        Assert.Throws<ArgumentOutOfRangeException>(() => RealFft.Of(12));
        Assert.Throws<ArgumentOutOfRangeException>(() => Window.Hann.Samples(0));
        Assert.Throws<ArgumentException>(() => new Sound(48000, [0, double.NaN]));
        Assert.Contains("channel 2", Assert.Throws<ArgumentException>(() => new Sound(48000, [0, 1], [0, double.PositiveInfinity])).Message);
    }

    private static (double[] Re, double[] Im) Fast(double[] x)
    {
        var fft = RealFft.Of(x.Length);
        var (re, im) = (new double[fft.Bins], new double[fft.Bins]);
        fft.Forward(x, re, im);
        return (re, im);
    }
}
