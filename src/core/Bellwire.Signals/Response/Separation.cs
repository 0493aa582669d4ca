namespace Bellwire.Signals;

/// <summary>How far a tone sent on one channel stays out of another (IEC 60268-3: crosstalk attenuation).</summary>
/// <param name="Db">Wanted over unwanted, dB.</param>
/// <param name="AtLeast">The unwanted tone drowns in noise: the true figure is this or more.</param>
/// <param name="BalanceDb">Level of the second channel over the first, dB, for the same tone on both.</param>
public sealed record Separation(double Hertz, double Db, bool AtLeast, double BalanceDb, HowMeasured How)
{
    /// <summary>Compares two channels of one recording at the tone of the first.</summary>
    public static (Separation? Result, string Why) Measure(ReadOnlySpan<double> driven, ReadOnlySpan<double> other, int rate, double? near = null)
    {
        if (driven.Length != other.Length) throw new ArgumentException($"The channels have {driven.Length} and {other.Length} samples.", nameof(other));
        var answer = SineFit.Measure(driven, rate, near);
        if (answer is not Tone tone) return (null, ((NoTone)answer).Why);
        if (other.Length > 1 << 20) other = other.Slice((other.Length - (1 << 20)) / 2, 1 << 20);
        var leak = SineFit.At(other, rate, tone.Hertz);
        // A sine fitted to noise alone comes out at about σ·√(3/N); three times that is certain.
        var hidden = 3 * leak.ResidualRms * Math.Sqrt(3.0 / other.Length);
        var least = leak.Peak < hidden;
        var ratio = tone.Peak / Math.Max(Math.Max(leak.Peak, least ? hidden : 0), 1e-12);
        return (new(tone.Hertz, Decibels.Of(ratio), least || leak.Peak == 0, -Decibels.Of(tone.Peak / Math.Max(leak.Peak, 1e-12)),
            new("sine fit on both channels at the tone of the first", "Hann", 0, rate / 2.0, Math.Max(0.01, leak.How.UncertaintyDb))), "");
    }
}
