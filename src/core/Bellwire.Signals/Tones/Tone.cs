namespace Bellwire.Signals;

/// <summary>What comes of looking for a tone: a <see cref="Tone"/> or <see cref="NoTone"/>.</summary>
public abstract record ToneAnswer;

/// <summary>A steady sine: peak·sin(2π·hertz·t + phase) + dc, t from the first sample.</summary>
/// <param name="Peak">Peak amplitude re full scale.</param>
/// <param name="Phase">Radians, −π..π.</param>
/// <param name="ResidualRms">RMS of what remains when tone and DC are taken away, over the full band.</param>
/// <param name="HertzUncertainty">About two standard deviations, from the residual as if it were noise (IEEE 1057 annex; Rife and Boorstyn 1974).</param>
public sealed record Tone(double Hertz, double Peak, double Phase, double Dc, double ResidualRms, double HertzUncertainty, HowMeasured How) : ToneAnswer
{
    public double Rms => Peak / Math.Sqrt(2);
    public double RmsDbfs => Decibels.Of(Rms);
    /// <summary>Signal to all the rest, full band, dB.</summary>
    public double SinadDb => ResidualRms > 0 ? Decibels.Of(Rms / ResidualRms) : double.PositiveInfinity;
}

/// <summary>There is no steady tone, or the recording is too short to say.</summary>
public sealed record NoTone(string Why) : ToneAnswer;
