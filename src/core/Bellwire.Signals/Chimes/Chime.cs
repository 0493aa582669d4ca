using System.Collections.Immutable;

namespace Bellwire.Signals;

/// <summary>One partial of a note, dying away exponentially.</summary>
/// <param name="Peak">Amplitude at the onset, re full scale.</param>
/// <param name="DecaySeconds">Time to fall to 1/e (8.69 dB); infinite when it does not fall.</param>
public sealed record Partial(double Hertz, double Peak, double DecaySeconds)
{
    /// <summary>Time to fall by 60 dB, s.</summary>
    public double T60 => DecaySeconds * Math.Log(1000);
}

/// <summary>One note.</summary>
/// <param name="Onset">Seconds from the start of the recording.</param>
/// <param name="Fundamental">The partial heard as the note.</param>
/// <param name="Partials">All partials new with this note, strongest first, the fundamental among them.</param>
/// <param name="CentsFromLast">Interval from the note before, cents; null for the first.</param>
/// <param name="Name">Nearest note of equal temperament at A4 = 440 Hz, such as "E4".</param>
/// <param name="CentsOff">How far the fundamental lies above it, −50..50 cents.</param>
public sealed record ChimeNote(double Onset, Partial Fundamental, ImmutableArray<Partial> Partials, double? CentsFromLast, string Name, double CentsOff);

/// <summary>The notes of a chime, in order.</summary>
public sealed record Chime(ImmutableArray<ChimeNote> Notes, HowMeasured How);

/// <summary>Notes and their names (ISO 16: A4 = 440 Hz).</summary>
public static class NoteNames
{
    private static readonly string[] Letters = ["C", "C#", "D", "D#", "E", "F", "F#", "G", "G#", "A", "A#", "B"];

    /// <summary>Interval from one frequency to another in cents.</summary>
    public static double Cents(double from, double to) => 1200 * Math.Log2(Samples.Positive(to, nameof(to), "hertz") / Samples.Positive(from, nameof(from), "hertz"));

    /// <summary>Nearest note and how far above it the frequency lies, cents.</summary>
    public static (string Name, double CentsOff) Of(double hertz)
    {
        var number = 69 + 12 * Math.Log2(Samples.Positive(hertz, nameof(hertz), "hertz") / 440);
        var nearest = (int)Math.Round(number);
        return ($"{Letters[((nearest % 12) + 12) % 12]}{(int)Math.Floor(nearest / 12.0) - 1}", 100 * (number - nearest));
    }

    /// <summary>Frequency of a named note, "C0" to "B9".</summary>
    public static double Hertz(string name)
    {
        ArgumentNullException.ThrowIfNull(name);
        var letter = Array.IndexOf(Letters, name.Length > 0 ? name[..^1] : "");
        if (letter < 0 || !char.IsAsciiDigit(name[^1])) throw new ArgumentException($"“{name}” is no note; write C4 or F#5.", nameof(name));
        return 440 * Math.Pow(2, (letter + 12 * (name[^1] - '0' + 1) - 69) / 12.0);
    }
}
