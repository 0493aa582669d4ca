using System.Collections.Immutable;

namespace Bellwire.Signals;

/// <summary>Sound in samples: one array of doubles a channel, full scale ±1, with its rate. The arrays are kept, not copied:
/// whoever hands them over leaves them alone afterwards.</summary>
public sealed record Sound
{
    /// <param name="rate">Samples a second, 1..1 000 000 Hz.</param>
    /// <param name="channels">1..64 channels of equal length; full scale is ±1.</param>
    /// <exception cref="ArgumentException">No channel, unequal lengths, or a sample that is not a finite number (channel and index named).</exception>
    public Sound(int rate, params double[][] channels)
    {
        ArgumentNullException.ThrowIfNull(channels);
        if (rate is < 1 or > 1_000_000) throw new ArgumentOutOfRangeException(nameof(rate), rate, "A rate lies between 1 and 1 000 000 Hz.");
        if (channels.Length is < 1 or > 64) throw new ArgumentException($"A sound has 1 to 64 channels, not {channels.Length}.", nameof(channels));
        for (var c = 0; c < channels.Length; c++)
        {
            if (channels[c].Length != channels[0].Length) throw new ArgumentException($"Channel {c + 1} has {channels[c].Length} samples, channel 1 has {channels[0].Length}.", nameof(channels));
            Samples.Finite(channels[c], $"channel {c + 1}");
        }
        Rate = rate;
        Channels = [.. channels];
    }

    /// <summary>Samples a second, Hz.</summary>
    public int Rate { get; }
    public ImmutableArray<double[]> Channels { get; }
    public int Frames => Channels[0].Length;
    public double Seconds => (double)Frames / Rate;
    public ReadOnlySpan<double> this[int channel] => Channels[channel];

    /// <summary>The part from <paramref name="start"/> s lasting <paramref name="seconds"/> s, cut at the end of the sound.</summary>
    public Sound Part(double start, double seconds)
    {
        if (!(start >= 0)) throw new ArgumentOutOfRangeException(nameof(start), start, "A part starts at 0 s or later.");
        if (!(seconds >= 0)) throw new ArgumentOutOfRangeException(nameof(seconds), seconds, "A part lasts 0 s or longer.");
        var from = (int)Math.Min(Frames, Math.Round(start * Rate));
        var to = (int)Math.Min(Frames, Math.Round((start + seconds) * Rate));
        return new(Rate, [.. Channels.Select(c => c[from..to])]);
    }
}

/// <summary>Checks at the public edge of this engine.</summary>
internal static class Samples
{
    public static void Finite(ReadOnlySpan<double> samples, string what)
    {
        for (var i = 0; i < samples.Length; i++)
            if (!double.IsFinite(samples[i])) throw new ArgumentException($"Sample {i} of {what} is {samples[i]}; samples are finite numbers.");
    }

    public static void Rate(int rate)
    {
        if (rate is < 1 or > 1_000_000) throw new ArgumentOutOfRangeException(nameof(rate), rate, "A rate lies between 1 and 1 000 000 Hz.");
    }

    public static double Positive(double value, string name, string unit) =>
        value > 0 && double.IsFinite(value) ? value : throw new ArgumentOutOfRangeException(name, value, $"{name} is a positive number of {unit}.");
}
