namespace Bellwire.Signals;

/// <summary>Level of one channel. Amplitudes re full scale ±1; a full-scale sine peaks at 0 dBFS and reads −3.01 dBFS RMS.</summary>
/// <param name="Frames">Samples counted.</param>
/// <param name="Lowest">Lowest sample.</param>
/// <param name="Highest">Highest sample.</param>
/// <param name="Dc">Mean, the DC offset.</param>
/// <param name="Rms">Root of the mean square, DC included.</param>
public sealed record Level(long Frames, int Rate, double Lowest, double Highest, double Dc, double Rms, HowMeasured How)
{
    public double Seconds => (double)Frames / Rate;
    public double Peak => Math.Max(Math.Abs(Lowest), Math.Abs(Highest));
    /// <summary>RMS without the DC offset.</summary>
    public double AcRms => Math.Sqrt(Math.Max(0, Rms * Rms - Dc * Dc));
    public double PeakDbfs => Decibels.Of(Peak);
    public double RmsDbfs => Decibels.Of(Rms);
    public double AcRmsDbfs => Decibels.Of(AcRms);
    /// <summary>Peak over RMS, dB; 3.01 for a sine, 0 for a square. Not a number's business in silence: 0 there.</summary>
    public double CrestDb => Rms > 0 ? Decibels.Of(Peak / Rms) : 0;
}

/// <summary>Counts level over blocks.</summary>
public sealed class LevelMeter
{
    private readonly int _rate;
    private long _frames;
    private double _sum, _squares, _lowest = double.PositiveInfinity, _highest = double.NegativeInfinity;

    /// <param name="rate">Samples a second, Hz.</param>
    public LevelMeter(int rate)
    {
        Samples.Rate(rate);
        _rate = rate;
    }

    public void Feed(ReadOnlySpan<double> samples)
    {
        // Short runs keep the partial sums of very long recordings exact to the last digits that matter.
        for (; samples.Length > 0; samples = samples[Math.Min(samples.Length, 4096)..])
        {
            var (sum, squares, lowest, highest) = Sums.Moments(samples[..Math.Min(samples.Length, 4096)]);
            _sum += sum;
            _squares += squares;
            _lowest = Math.Min(_lowest, lowest);
            _highest = Math.Max(_highest, highest);
            _frames += Math.Min(samples.Length, 4096);
        }
    }

    /// <summary>The level so far; all zero before the first sample.</summary>
    public Level Finish()
    {
        var how = new HowMeasured("mean square of every sample", "none", 0, _rate / 2.0, 0.01);
        return _frames == 0
            ? new(0, _rate, 0, 0, 0, 0, how with { Warnings = ["nothing was heard"] })
            : new(_frames, _rate, _lowest, _highest, _sum / _frames, Math.Sqrt(_squares / _frames), how);
    }

    public static Level Measure(ReadOnlySpan<double> samples, int rate)
    {
        var meter = new LevelMeter(rate);
        meter.Feed(samples);
        return meter.Finish();
    }
}
