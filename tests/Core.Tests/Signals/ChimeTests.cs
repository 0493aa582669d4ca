using Bellwire.Signals;
using Core.Tests.Reasoning;

namespace Core.Tests.Signals;

public class ChimeTests
{
    [Fact]
    public void Notes_have_their_published_frequencies()
    {
        var published = Reference.Read("audio-notes", "values.json");
        foreach (var note in published.GetProperty("notes").EnumerateObject())
        {
            Reference.Near(note.Value, NoteNames.Hertz(note.Name), note.Name);
            Assert.Equal(note.Name, NoteNames.Of(note.Value[0].GetDouble()).Name);
            Assert.Equal(0, NoteNames.Of(note.Value[0].GetDouble()).CentsOff, 0.01);
        }
        Reference.Near(published.GetProperty("fiveCentsAt440"), 440 * (Math.Pow(2, 5 / 1200.0) - 1), "five cents");
        Assert.Throws<ArgumentException>(() => NoteNames.Hertz("H4"));
    }

    // Octave strikes the notes: decaying partials, ringing into one another, noise 50 dB below, 16 bit.
    [Theory]
    [InlineData("659.255 523.251", "0.3 1.1", "0.4 0.35", "E5 C5")]
    [InlineData("415.9 369.5 329.628 247.3", "0.2 0.9 1.6 2.3", "0.6 0.5 0.5 0.7", "G#4 F#4 E4 B3")]
    [InlineData("783.991 783.991", "0.25 1.0", "0.2 0.2", "G5 G5")]
    public void Onsets_notes_and_decays_of_a_struck_chime(string notes, string onsets, string decays, string names)
    {
        var sound = Judges.Octave($"fs=44100; randn('seed',3); t=(0:4*fs-1)'/fs; x=1e-3*randn(size(t)); f=[{notes}]; o=[{onsets}]; d=[{decays}]; for k=1:numel(f) s=t-o(k); on=s>=0; x+=on.*min(1,s/0.003).*(0.3*exp(-s/d(k)).*sin(2*pi*f(k)*s)+0.1*exp(-s/(0.5*d(k))).*sin(2*pi*2.756*f(k)*s)); end", 16);
        var chime = ChimeMeter.Measure(sound[0], sound.Rate).Result!;
        double[] Of(string s) => [.. s.Split(' ').Select(v => double.Parse(v, System.Globalization.CultureInfo.InvariantCulture))];
        var (f, o, d) = (Of(notes), Of(onsets), Of(decays));
        Assert.Equal(names, string.Join(' ', chime.Notes.Select(n => n.Name)));
        for (var i = 0; i < f.Length; i++)
        {
            var note = chime.Notes[i];
            Assert.True(Math.Abs(NoteNames.Cents(f[i], note.Fundamental.Hertz)) < 2, $"{f[i]}: {note.Fundamental.Hertz}");
            Assert.True(Math.Abs(note.Fundamental.DecaySeconds / d[i] - 1) < 0.05, $"{f[i]}: decay {note.Fundamental.DecaySeconds} for {d[i]}");
            Assert.Equal(o[i], note.Onset, 0.03);
            Assert.Equal(0, Decibels.Of(note.Fundamental.Peak / 0.3), 0.6);
            Assert.Contains(note.Partials, p => Math.Abs(p.Hertz / f[i] - 2.756) < 0.01);
            if (i > 0) Assert.Equal(NoteNames.Cents(f[i - 1], f[i]), note.CentsFromLast!.Value, 3.0);
        }
    }

    [Fact]
    public void Silence_and_noise_are_no_chime()
    {
        Assert.Contains("No note", ChimeMeter.Measure(new double[48000], 48000).Why);
        Assert.Contains("shorter than a note", ChimeMeter.Measure(new double[100], 48000).Why);
    }
}
