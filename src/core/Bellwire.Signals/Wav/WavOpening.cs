namespace Bellwire.Signals;

/// <summary>What comes of opening a file: a <see cref="WavReader"/>, or a refusal in one sentence that says what to do.</summary>
public sealed record WavOpening
{
    private WavOpening(WavReader? reader, string? why) => (Reader, Why) = (reader, why);
    public WavReader? Reader { get; }
    public string? Why { get; }

    private const int Smallest = 12;
    private const long MostChunks = 10_000;

    /// <summary>Reads the header from the stream's present place up to the first sample. The stream need not seek; it is neither
    /// closed nor read beyond what is asked.</summary>
    public static WavOpening Of(Stream stream)
    {
        ArgumentNullException.ThrowIfNull(stream);
        var source = new WavSource(stream);
        Span<byte> head = stackalloc byte[Smallest];
        var got = source.Read(head);
        if (got == 0) return No("The file is empty. Record again, or fetch it again from where it came.");
        if (got < Smallest || !head[8..].SequenceEqual("WAVE"u8) || !(head[..4].SequenceEqual("RIFF"u8) || head[..4].SequenceEqual("RF64"u8)))
            return No(NotWav(head[..got]));
        WavFormat? format = null;
        long? longData = null;
        Span<byte> chunk = stackalloc byte[8];
        Span<byte> body = stackalloc byte[64];
        for (long n = 0; n < MostChunks; n++)
        {
            got = source.Read(chunk);
            if (got < 8) return No(format is null ? "The file ends before it says what its samples are. Fetch it again from where it came." : "The file holds a header and no samples. Record again, or fetch it again from where it came.");
            long size = BitConverter.ToUInt32(chunk[4..]);
            if (chunk[..4].SequenceEqual("data"u8))
            {
                if (format is null) return No("The samples come before their description. Save it again from the recorder as a 16- or 24-bit PCM WAV file.");
                // A length of 0 is either true, with other pieces behind, or never written by the recorder.
                var next = source.Peek(4);
                if (next.Length == 0 || (size == 0 && IsOther(next)))
                    return No("The file holds a header and no samples. Record again, or fetch it again from where it came.");
                return new(new WavReader(source, format, size == uint.MaxValue && longData is { } l ? l : size), null);
            }
            var wanted = (int)Math.Min(size, body.Length);
            var isFormat = chunk[..4].SequenceEqual("fmt "u8);
            var isLong = chunk[..4].SequenceEqual("ds64"u8);
            var read = isFormat || isLong ? source.Read(body[..wanted]) : 0;
            if (isLong && read >= 16) longData = BitConverter.ToInt64(body[8..]) is >= 0 and var d ? d : null;
            if (isFormat)
            {
                format = WavFormat.Read(body[..read], out var why);
                if (format is null) return No(why);
            }
            source.Skip(size + (size & 1) - read);
        }
        return No("The file holds more than 10 000 pieces and no samples. Save it again from the recorder as a 16- or 24-bit PCM WAV file.");
    }

    private static bool IsOther(ReadOnlySpan<byte> name) =>
        name.SequenceEqual("LIST"u8) || name.SequenceEqual("fact"u8) || name.SequenceEqual("bext"u8) || name.SequenceEqual("id3 "u8) || name.SequenceEqual("cue "u8) || name.SequenceEqual("JUNK"u8);

    private static WavOpening No(string why) => new(null, why);

    private static string NotWav(ReadOnlySpan<byte> head)
    {
        var looks = head switch
        {
            [0x49, 0x44, 0x33, ..] or [0xFF, 0xFB or 0xF3 or 0xF2, ..] => "an MP3 file",
            [0x4F, 0x67, 0x67, 0x53, ..] => "an Ogg file",
            [0x66, 0x4C, 0x61, 0x43, ..] => "a FLAC file",
            [_, _, _, _, 0x66, 0x74, 0x79, 0x70, ..] => "an M4A or MP4 file, as telephones record",
            [0x46, 0x4F, 0x52, 0x4D, ..] => "an AIFF file",
            [0x63, 0x61, 0x66, 0x66, ..] => "a CAF file",
            [0x23, 0x21, 0x41, 0x4D, 0x52, ..] => "an AMR file, as telephones record",
            [0x52, 0x49, 0x46, 0x58, ..] => "a WAV file of the other byte order (RIFX)",
            [0x52, 0x49, 0x46, 0x46, ..] => "cut off, or of another RIFF kind",
            _ => "something else",
        };
        return $"This is not a WAV file; it looks like {looks}. Save or export the recording as a 16- or 24-bit PCM WAV file.".Replace("looks like cut off", "is cut off");
    }
}
