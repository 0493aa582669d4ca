using System.Text;
using Bellwire.Signals;

namespace Core.Tests.Signals;

public class WavTests
{
    [Theory]
    [InlineData(WavKind.Pcm8, 1.0 / 256)]
    [InlineData(WavKind.Pcm16, 1.0 / 65536)]
    [InlineData(WavKind.Pcm24, 1.0 / (1 << 24))]
    [InlineData(WavKind.Pcm32, 1e-9)]
    [InlineData(WavKind.Float32, 1e-7)]
    [InlineData(WavKind.Float64, 0)]
    public void What_is_written_is_read(WavKind kind, double step)
    {
        for (var channels = 1; channels <= 8; channels++)
        {
            var sound = new Sound(channels % 2 == 0 ? 8000 : 192000, [.. Enumerable.Range(1, channels).Select(c => Make.Sine(8000, 0.0321, 100 * c, 0.9))]);
            var back = Wav.Read(Wav.Bytes(sound, kind));
            Assert.Equal((sound.Rate, sound.Frames, channels), (back.Rate, back.Frames, back.Channels.Length));
            for (var c = 0; c < channels; c++)
                for (var n = 0; n < sound.Frames; n++) Assert.Equal(sound.Channels[c][n], back.Channels[c][n], step + 1e-15);
        }
    }

    // Judge: sox writes every kind of the same tone; and prints what it reads in it.
    [Theory]
    [InlineData("-e unsigned -b 8", 1e-8)]
    [InlineData("-e signed -b 16", 1e-8)]
    [InlineData("-e signed -b 24", 1e-8)]
    [InlineData("-e signed -b 32", 1e-8)]
    [InlineData("-e float -b 32", 1e-8)]
    [InlineData("-e float -b 64", 1e-8)]
    [InlineData("-t wavpcm -e signed -b 24", 1e-8)]
    public void Files_of_another_program_read_the_same(string how, double within)
    {
        var file = Path.Combine(Path.GetTempPath(), $"bellwire-sox-{Guid.NewGuid():N}.wav");
        try
        {
            Judges.Run("sox", ["-D", "-n", "-r", "44100", .. how.Split(' '), file, "synth", "0.05", "sine", "441", "gain", "-6.0206", "remix", "1", "1v-0.5"]);
            var read = Judges.Load(file);
            Assert.Equal((44100, 2, 2205), (read.Rate, read.Channels.Length, read.Frames));
            var theirs = Judges.Run("sox", file, "-t", "dat", "-").Split('\n').Where(l => l.Length > 0 && l[0] != ';')
                .Select(l => l.Trim().Split(' ', StringSplitOptions.RemoveEmptyEntries).Select(v => double.Parse(v, System.Globalization.CultureInfo.InvariantCulture)).ToArray()).ToArray();
            Assert.Equal(read.Frames, theirs.Length);
            for (var n = 0; n < read.Frames; n++)
            {
                Assert.Equal(theirs[n][1], read.Channels[0][n], within);
                Assert.Equal(theirs[n][2], read.Channels[1][n], within);
            }
        }
        finally { File.Delete(file); }
    }

    [Fact]
    public void A_cut_file_is_measured_as_far_as_it_goes_and_says_so()
    {
        var whole = Wav.Bytes(new Sound(48000, Make.Sine(48000, 1, 440, 0.5)));
        var (frames, remarks) = Wav.Count(whole[..(44 + 2 * 12000 + 1)]);
        Assert.Equal(12000, frames);
        Assert.Equal(["The header promises 1 s (48000 samples a channel); 0.25 s (12000 samples a channel) are there and were measured. Fetch the file again if the rest matters.",
            "At the end 1 byte is left over that make no whole sample."], remarks);
    }

    [Fact]
    public void A_length_never_written_is_counted_instead()
    {
        foreach (var size in new uint[] { 0, uint.MaxValue })
        {
            var bytes = Wav.Bytes(new Sound(8000, Make.Sine(8000, 0.5, 440, 0.5)));
            BitConverter.TryWriteBytes(bytes.AsSpan(40), size);
            var (frames, remarks) = Wav.Count(bytes);
            Assert.Equal(4000, frames);
            Assert.Contains("never wrote the length; 0.5 s (4000 samples a channel)", Assert.Single(remarks));
        }
    }

    [Fact]
    public void A_header_that_counts_too_few_is_believed_and_the_rest_is_spoken_of()
    {
        var bytes = Wav.Bytes(new Sound(8000, Make.Sine(8000, 0.5, 440, 0.5)));
        BitConverter.TryWriteBytes(bytes.AsSpan(40), 2000u);
        var (frames, remarks) = Wav.Count(bytes);
        Assert.Equal(1000, frames);
        Assert.Contains("more that it does not name", Assert.Single(remarks));
    }

    [Fact]
    public void Other_pieces_before_and_behind_the_samples_are_passed_by()
    {
        var bytes = Wav.Bytes(new Sound(8000, Make.Sine(8000, 0.5, 440, 0.5)));
        byte[] list = [.. "LIST"u8, 5, 0, 0, 0, 1, 2, 3, 4, 5, 0];
        byte[] mixed = [.. bytes[..36], .. list, .. bytes[36..], .. list];
        var (frames, remarks) = Wav.Count(mixed);
        Assert.Equal(4000, frames);
        Assert.Empty(remarks);
        Assert.Contains("no samples", Wav.Why([.. bytes[..40], 0, 0, 0, 0, .. list]));
    }

    [Fact]
    public void Refusals_say_what_it_is_and_what_to_do()
    {
        var bytes = Wav.Bytes(new Sound(8000, Make.Sine(8000, 0.5, 440, 0.5)));
        Assert.Contains("empty", Wav.Why([]));
        Assert.Contains("looks like an MP3 file", Wav.Why([.. "ID3"u8, .. new byte[50]]));
        Assert.Contains("M4A", Wav.Why([0, 0, 0, 32, .. "ftypM4A "u8, .. new byte[50]]));
        Assert.Contains("is cut off", Wav.Why(bytes[..9]));
        Assert.Contains("no samples", Wav.Why(bytes[..36]));
        Assert.Contains("no samples", Wav.Why(bytes[..44]));
        Assert.Contains("µ-law", Wav.Why(With(bytes, 20, 7)));
        Assert.Contains("9 channels", Wav.Why(With(bytes, 22, 9)));
        Assert.Contains("contradicts itself", Wav.Why(With(bytes, 32, 3)));
        Assert.Contains("contradicts itself", Wav.Why(With(bytes, 34, 0)));
        Assert.Contains("64 samples a second", Wav.Why(With(bytes, 24, 64)));
        foreach (var why in new[] { Wav.Why(With(bytes, 20, 7)), Wav.Why(bytes[..9]), Wav.Why([]) })
            Assert.Matches("(Save|Record|Fetch|fetch)", why);
    }

    [Fact]
    public void Samples_that_are_no_numbers_are_silence_and_counted()
    {
        var bytes = Wav.Bytes(new Sound(8000, [0.1, 0.2, 0.3]), WavKind.Float32);
        BitConverter.TryWriteBytes(bytes.AsSpan(bytes.Length - 8), float.NaN);
        using var stream = new MemoryStream(bytes);
        var reader = WavOpening.Of(stream).Reader!;
        Assert.Equal(0, reader.ReadAll().Channels[0][1]);
        Assert.Contains("1 sample was no number", Assert.Single(reader.Remarks));
    }

    private static byte[] With(byte[] bytes, int at, ushort value)
    {
        var changed = bytes.ToArray();
        BitConverter.TryWriteBytes(changed.AsSpan(at), value);
        return changed;
    }
}

/// <summary>WAV bytes in memory.</summary>
internal static class Wav
{
    public static byte[] Bytes(Sound sound, WavKind kind = WavKind.Pcm16)
    {
        using var stream = new MemoryStream();
        WavWriter.Write(stream, sound, kind);
        return stream.ToArray();
    }

    public static Sound Read(byte[] bytes) => WavOpening.Of(new MemoryStream(bytes)).Reader!.ReadAll();

    public static string Why(byte[] bytes) => WavOpening.Of(new MemoryStream(bytes)).Why ?? "it was read";

    public static (long Frames, string[] Remarks) Count(byte[] bytes)
    {
        var reader = WavOpening.Of(new MemoryStream(bytes)).Reader!;
        var block = Enumerable.Range(0, reader.Format.Channels).Select(_ => new double[1000]).ToArray();
        while (reader.Read(block, 1000) > 0) { }
        return (reader.FramesRead, [.. reader.Remarks]);
    }
}
