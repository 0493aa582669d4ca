using System.Collections.Immutable;

namespace Bellwire.Signals;

/// <summary>Noise of one channel, RMS re full scale, over a stated band.</summary>
public sealed record Noise(double Unweighted, double A, double Itu468, HowMeasured How)
{
    public double UnweightedDbfs => Decibels.Of(Unweighted);
    public double ADbfs => Decibels.Of(A);
    /// <summary>468-weighted, RMS; the quasi-peak meter of BS.468 reads some 4.5 dB more on random noise (from memory).</summary>
    public double Itu468Dbfs => Decibels.Of(Itu468);

    /// <summary>Ratio of a signal's RMS to this noise, dB.</summary>
    public double SnrDb(double signalRms, Weighting weighting = Weighting.None)
    {
        var noise = weighting switch { Weighting.A => A, Weighting.Itu468 => Itu468, _ => Unweighted };
        return noise > 0 ? Decibels.Of(signalRms / noise) : double.PositiveInfinity;
    }

    /// <summary>Reads the noise off a spectrum: bandwidth 22.4 Hz to 22.4 kHz (IEC 60268-3), or what the rate leaves of it.</summary>
    public static Noise Of(PowerSpectrum spectrum, double lowHertz = 22.4, double highHertz = 22_400)
    {
        ArgumentNullException.ThrowIfNull(spectrum);
        var high = Math.Min(highHertz, spectrum.Rate / 2.0);
        double Rms(Weighting w) => Math.Sqrt(spectrum.Band(lowHertz, high, w));
        // Chi-square: each averaged bin of a noise wanders; overlapping by half makes about 0.6 of the segments independent.
        var independent = Math.Max(1, 0.6 * spectrum.Averages * Math.Max(1, (high - lowHertz) / spectrum.BinHertz));
        ImmutableArray<string> warnings = high < highHertz ? [$"the rate of {spectrum.Rate} Hz leaves nothing above {high:0} Hz"] : [];
        return new(Rms(Weighting.None), Rms(Weighting.A), Rms(Weighting.Itu468),
            new("power spectrum, averaged, RMS", spectrum.Window.Name, lowHertz, high, Math.Max(0.02, 2 * 4.343 / Math.Sqrt(independent)), warnings));
    }
}
