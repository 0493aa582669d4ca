using Bellwire.Signals;
using Core.Tests.Reasoning;

namespace Core.Tests.Signals;

public class ResponseTests
{
    private static string Sweep(SweepAsked s) => FormattableString.Invariant($"fs=48000; L={s.Constant:R}; t=(0:{s.Seconds}*fs-1)'/fs; s={Decibels.Ratio(s.PeakDbfs):R}*sin(2*pi*{s.LowHertz}*L*(exp(t/L)-1))");

    [Fact]
    public void A_sweep_gives_back_the_filter_octave_put_in()
    {
        // Octave's sweep by the formula, delayed 0.37 s, three times through a first-order high-pass and low-pass, noise 70 dB below.
        var asked = new SweepAsked(Seconds: 4);
        var sound = Judges.Octave($"{Sweep(asked)}; randn('seed',4); h=tan(pi*100/fs); l=tan(pi*6000/fs); x=[zeros(17760,1);s;zeros(48000,1)]; for k=1:3 x=filter([1 -1]/(1+h),[1 (h-1)/(h+1)],filter([l l]/(1+l),[1 (l-1)/(l+1)],x)); end; x+=1e-4*randn(17760+48000+length(s),1)", 24);
        var heard = ResponseMeter.BySweep(sound[0], 48000, asked).Result!;
        Assert.Equal(0.37, heard.DelaySeconds, 0.001);
        foreach (var p in heard.Points.Where(p => p.Hertz is >= 50 and <= 15000))
        {
            var truth = Poles(p.Hertz);
            Assert.True(Math.Abs(p.Db - truth) < 0.2, $"{p.Hertz:0} Hz: {p.Db:0.000} against {truth:0.000}");
        }
    }

    /// <summary>Bilinear one-pole filters in closed form: |H|² = 1/(1 + (tan(πf/fs)/tan(πfc/fs))^(±2)), cubed.</summary>
    private static double Poles(double f)
    {
        static double T(double f) => Math.Tan(Math.PI * f / 48000);
        return -30 * Math.Log10(1 + Math.Pow(T(100) / T(f), 2)) - 30 * Math.Log10(1 + Math.Pow(T(f) / T(6000), 2));
    }

    [Fact]
    public void De_emphasis_reads_as_published()
    {
        var asked = new SweepAsked(Seconds: 3);
        var played = TestSignals.Sweep(48000, asked)[0].ToArray();
        var spectrum = Reference.Read("audio-notes", "values.json").GetProperty("deEmphasis");
        foreach (var constant in spectrum.EnumerateObject())
        {
            // One pole applied exactly in the frequency domain.
            var tau = double.Parse(constant.Name) * 1e-6;
            var size = 1 << 18;
            var (x, re, im) = (new double[size], new double[size / 2 + 1], new double[size / 2 + 1]);
            played.CopyTo(x, 0);
            RealFft.Of(size).Forward(x, re, im);
            for (var k = 0; k < re.Length; k++)
            {
                var h = 1 / new System.Numerics.Complex(1, 2 * Math.PI * k * 48000.0 / size * tau) * new System.Numerics.Complex(re[k], im[k]);
                (re[k], im[k]) = (h.Real, h.Imaginary);
            }
            RealFft.Of(size).Inverse(re, im, x);
            var heard = ResponseMeter.BySweep(x, 48000, asked, 24).Result!;
            foreach (var row in constant.Value.EnumerateArray()) Assert.Equal(row[1].GetDouble(), heard.At(row[0].GetDouble()), 0.05);
        }
    }

    [Fact]
    public void Harmonic_orders_stand_apart()
    {
        // y = x + 0.1 x² + 0.2 x³, x = A sin: h2 = 0.05 A², h3 = 0.05 A³ over A(1 + 0.15 A²) (expansion of powers of the sine).
        var asked = new SweepAsked(Seconds: 5, PeakDbfs: -6.0206);
        var x = TestSignals.Sweep(48000, asked)[0].ToArray();
        var y = new double[x.Length + 48000];
        for (var n = 0; n < x.Length; n++) y[n + 1000] = x[n] + 0.1 * x[n] * x[n] + 0.2 * x[n] * x[n] * x[n];
        var heard = ResponseMeter.BySweep(y, 48000, asked).Result!;
        const double a = 0.5, one = a * (1 + 0.15 * a * a);
        foreach (var p in heard.Points.Where(p => p.Hertz is > 100 and < 5000))
        {
            Assert.Equal(1, p.Second!.Value / (0.05 * a * a / one), 0.05);
            Assert.Equal(1, p.Third!.Value / (0.05 * a * a * a / one), 0.05);
            Assert.Equal(Decibels.Of(1 + 0.15 * a * a), p.Db, 0.05);
        }
    }

    [Fact]
    public void Steps_and_pink_noise_agree_with_the_same_filter()
    {
        double[] hertz = [100, 250, 500, 1000, 2000, 4000, 8000];
        var steps = TestSignals.Steps(48000, hertz, 0.3, -12);
        var heard = ResponseMeter.BySteps(Pole([.. new double[7000], .. steps[0], .. new double[9000]]), 48000, hertz, 0.3, -12).Result!;
        Assert.Equal(7000 / 48000.0, heard.DelaySeconds, 0.0005);
        Assert.Equal(hertz.Length, heard.Points.Length);
        foreach (var p in heard.Points) Assert.Equal(PoleDb(p.Hertz), p.Db, 0.05);
        var pink = TestSignals.Pink(48000, 20, -20, 1);
        var third = ResponseMeter.ByPink(Pole(pink[0].ToArray()), pink[0], 48000).Result!;
        foreach (var p in third.Points.Where(p => p.Hertz is > 50 and < 12000)) Assert.Equal(PoleDb(p.Hertz), p.Db, 0.25);
        Assert.Contains("Record from before", ResponseMeter.BySteps(new double[1000], 48000, hertz, 0.3, -12).Why);
        Assert.Contains("does not stand out", ResponseMeter.BySweep(Make.Noise(1, 48000 * 7, 0.1), 48000, new()).Why);
    }

    [Fact]
    public void Pink_noise_is_found_wherever_the_recording_begins_and_foreign_noise_is_told_as_such()
    {
        // Ours, thirty seconds (longer than it takes to come again), recorded from 0.4 s before its start, and from 3 s after it.
        var pink = TestSignals.Pink(48000, 30, -20, 1);
        var heard = Pole(pink[0].ToArray());
        var late = ResponseMeter.ByPink([.. Make.Noise(4, 19200, 1e-5), .. heard], pink[0], 48000).Result!;
        Assert.Equal(0.4, late.DelaySeconds, 0.001);
        var early = ResponseMeter.ByPink(heard.AsSpan(3 * 48000), pink[0], 48000).Result!;
        Assert.Equal(-3, early.DelaySeconds, 0.001);
        foreach (var p in late.Points.Concat(early.Points).Where(p => p.Hertz is > 50 and < 12000)) Assert.Equal(PoleDb(p.Hertz), p.Db, 0.25);
        // Equal seeds give equal samples however long they are asked for, but for the gain.
        var brief = TestSignals.Pink(48000, 5, -20, 1)[0];
        var gain = brief[1000] / pink[0][1000];
        for (var n = 0; n < brief.Length; n += 997) Assert.Equal(gain * pink[0][n], brief[n], 1e-9);
        // Octave's own pink noise (white noise by 1/√f in the spectrum): the same filter, within the spread of a noise nobody knows.
        var foreign = Judges.Octave("fs=48000; n=fs*30; randn('seed',9); X=fft(randn(n,1)); k=(0:n-1)'; f=min(k,n-k)*fs/n; X./=sqrt(max(f,20)); x=real(ifft(X)); x*=0.1/sqrt(mean(x.^2));", 24)[0];
        var other = ResponseMeter.ByPink(Pole(foreign.ToArray()), pink[0], 48000).Result!;
        Assert.Contains("from elsewhere", other.How.Method);
        Assert.NotEmpty(other.How.Warnings);
        var middle = other.Points.MinBy(p => Math.Abs(p.Hertz - 1000))!;
        Assert.Equal(0, middle.Db, 1e-9);
        foreach (var p in other.Points.Where(p => p.Hertz is > 100 and < 12000)) Assert.InRange(p.Db - PoleDb(p.Hertz) + PoleDb(1000), -2 * other.How.UncertaintyDb, 2 * other.How.UncertaintyDb);
        Assert.Contains("hardly a third octave sounds", ResponseMeter.ByPink(new double[96000], pink[0], 48000).Why);
        Assert.Contains("a second of recording", ResponseMeter.ByPink(new double[9600], pink[0], 48000).Why);
        Assert.Contains("Less than a second", ResponseMeter.ByPink([.. Make.Noise(5, 48000, 1e-6), .. heard[..40000]], pink[0], 48000).Why);
    }

    /// <summary>y(n) = 0.3 x(n) + 0.7 y(n−1): |H|² = 0.09 / (1.49 − 1.4 cos ω).</summary>
    private static double[] Pole(double[] x)
    {
        var y = new double[x.Length];
        for (var n = 0; n < x.Length; n++) y[n] = 0.3 * x[n] + (n > 0 ? 0.7 * y[n - 1] : 0);
        return y;
    }

    private static double PoleDb(double f) => Decibels.OfPower(0.09 / (1.49 - 1.4 * Math.Cos(2 * Math.PI * f / 48000)));

    [Fact]
    public void Crosstalk_is_the_ratio_or_a_bound()
    {
        var left = Make.Sum(Make.Sine(48000, 2, 1000, 0.5), Make.Noise(1, 96000, 1e-4));
        var right = Make.Sum(Make.Sine(48000, 2, 1000, 0.0005, 1), Make.Noise(2, 96000, 1e-4));
        var some = Separation.Measure(left, right, 48000).Result!;
        Assert.Equal(60, some.Db, 0.1);
        Assert.False(some.AtLeast);
        var none = Separation.Measure(left, Make.Noise(3, 96000, 1e-2), 48000).Result!;
        Assert.True(none.AtLeast && none.Db is > 60 and < 90, none.ToString());
        Assert.Equal(-6.0206, Separation.Measure(left, Make.Times(left, 0.5), 48000).Result!.BalanceDb, 0.01);
    }

    // Judge: sox stats and spectrum-free levels of what is made.
    [Fact]
    public void Test_signals_have_exactly_the_level_asked()
    {
        Assert.Equal(-20, SineFit.Measure(TestSignals.Tone(48000, 1000, 1, -20, 0).Channels[0], 48000) is Tone t ? Decibels.Of(t.Peak) : 0, 0.001);
        Assert.Equal(-18, LevelMeter.Measure(TestSignals.Pink(48000, 3, -18, 7)[0], 48000).RmsDbfs, 1e-6);
        Assert.Equal(TestSignals.Pink(48000, 1, -18, 7)[0], TestSignals.Pink(48000, 1, -18, 7)[0]);
        Assert.Contains("Ask for".ToLowerInvariant(), Assert.Throws<ArgumentOutOfRangeException>(() => TestSignals.Pink(48000, 3, -1, 7)).Message);
        Assert.InRange(LevelMeter.Measure(TestSignals.TwoTones(48000, 60, 7000, 1, -6)[0], 48000).PeakDbfs, -6.3, -6);
        Assert.Throws<ArgumentOutOfRangeException>(() => TestSignals.Tone(48000, 30000, 1, -6));
        Assert.Throws<ArgumentOutOfRangeException>(() => TestSignals.Tone(48000, 1000, 1, 1));
        // Pink noise: equal power in every octave.
        var pink = SpectrumMeter.Measure(TestSignals.Pink(48000, 20, -20, 3)[0], 48000, 16384, Window.Hann)!;
        for (var f = 100.0; f < 8000; f *= 2) Assert.Equal(0, Decibels.OfPower(pink.Band(f, 2 * f) / pink.Band(1000, 2000)), 0.3);
    }
}
