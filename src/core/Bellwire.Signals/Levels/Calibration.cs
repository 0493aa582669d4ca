namespace Bellwire.Signals;

/// <summary>What full scale is in volts, so that levels can be told in dBu (re √0.6 = 0.7746 V) and dBV (re 1 V).</summary>
public sealed record Calibration
{
    /// <param name="voltsAtFullScale">Peak volts of a sample of 1, V &gt; 0.</param>
    /// <param name="uncertaintyDb">Of that figure, dB ≥ 0.</param>
    public Calibration(double voltsAtFullScale, double uncertaintyDb)
    {
        VoltsAtFullScale = Samples.Positive(voltsAtFullScale, nameof(voltsAtFullScale), "volts");
        UncertaintyDb = uncertaintyDb >= 0 && double.IsFinite(uncertaintyDb) ? uncertaintyDb : throw new ArgumentOutOfRangeException(nameof(uncertaintyDb), uncertaintyDb, "An uncertainty is 0 dB or more.");
    }

    public double VoltsAtFullScale { get; }
    public double UncertaintyDb { get; }

    /// <summary>From a tone whose volts were read on a meter while it was recorded.</summary>
    /// <param name="heard">The recording of the tone; its AC RMS counts.</param>
    /// <param name="voltsRms">What the meter read, V RMS.</param>
    public static Calibration From(Level heard, double voltsRms, double uncertaintyDb)
    {
        ArgumentNullException.ThrowIfNull(heard);
        if (!(heard.AcRms > 0)) throw new ArgumentException("Nothing to calibrate by: the recording is silent.", nameof(heard));
        return new(Samples.Positive(voltsRms, nameof(voltsRms), "volts RMS") / heard.AcRms, uncertaintyDb);
    }

    /// <summary>Volts RMS of an RMS given re full scale.</summary>
    public double Volts(double rms) => rms * VoltsAtFullScale;
    public double Dbu(double rms) => Decibels.Of(Volts(rms) / Math.Sqrt(0.6));
    public double Dbv(double rms) => Decibels.Of(Volts(rms));
}
