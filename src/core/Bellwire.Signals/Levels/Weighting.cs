namespace Bellwire.Signals;

/// <summary>How noise is weighted before it is summed.</summary>
public enum Weighting
{
    /// <summary>Flat.</summary>
    None,
    /// <summary>IEC 61672-1, 0 dB at 1 kHz.</summary>
    A,
    /// <summary>IEC 61672-1, 0 dB at 1 kHz.</summary>
    C,
    /// <summary>ITU-R BS.468-4, 0 dB at 1 kHz.</summary>
    Itu468,
}

/// <summary>Gains of the weightings.</summary>
public static class Weightings
{
    private const double P1 = 20.598997, P2 = 107.65265, P3 = 737.86223, P4 = 12194.217;
    private static readonly double AtA = PlainA(1000), AtC = PlainC(1000);

    /// <summary>Gain (amplitude ratio) at a frequency ≥ 0 Hz. A and C by the pole formulas of IEC 61672-1 annex E; 468 by the usual
    /// rational fit to the network of BS.468-4, within 0.1 dB of the table.</summary>
    public static double Gain(this Weighting weighting, double hertz)
    {
        if (!(hertz >= 0)) throw new ArgumentOutOfRangeException(nameof(hertz), hertz, "A frequency is 0 Hz or more.");
        return weighting switch
        {
            Weighting.None => 1,
            Weighting.A => PlainA(hertz) / AtA,
            Weighting.C => PlainC(hertz) / AtC,
            Weighting.Itu468 => Itu(hertz),
            _ => throw new ArgumentOutOfRangeException(nameof(weighting), weighting, "Not a weighting."),
        };
    }

    private static double PlainC(double f) => P4 * P4 * f * f / ((f * f + P1 * P1) * (f * f + P4 * P4));

    private static double PlainA(double f) => PlainC(f) * f * f / Math.Sqrt((f * f + P2 * P2) * (f * f + P3 * P3));

    private static double Itu(double f)
    {
        var f2 = f * f;
        var h1 = ((-4.737338981378384e-24 * f2 + 2.043828333606125e-15) * f2 - 1.363894795463638e-7) * f2 + 1;
        var h2 = ((1.306612257412824e-19 * f2 - 2.118150887518656e-11) * f2 + 5.559488023498642e-4) * f;
        return 1.246332637532143e-4 * f / Math.Sqrt(h1 * h1 + h2 * h2) * 8.128305161640991; // 18.2 dB
    }
}
