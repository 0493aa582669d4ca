namespace Bellwire.Signals;

/// <summary>How a WAV file keeps its samples.</summary>
/// <param name="Channels">1..8.</param>
/// <param name="Rate">8 000..192 000 Hz.</param>
/// <param name="Bits">As the header says: 8 (unsigned), up to 16, 24 or 32 (signed), float 32 or 64.</param>
/// <param name="Float">IEEE 754 instead of whole numbers.</param>
/// <param name="SampleBytes">Container of one sample, 1, 2, 3, 4 or 8 bytes.</param>
public sealed record WavFormat(int Channels, int Rate, int Bits, bool Float, int SampleBytes)
{
    public int FrameBytes => Channels * SampleBytes;
    public override string ToString() => $"{Rate} Hz, {Bits}-bit{(Float ? " float" : "")}, {Channels} channel{(Channels == 1 ? "" : "s")}";

    /// <summary>Reads the body of a "fmt " chunk, or says in one sentence why this file cannot be measured.</summary>
    internal static WavFormat? Read(ReadOnlySpan<byte> body, out string why)
    {
        why = "";
        if (body.Length < 16) { why = $"The file's format description holds {body.Length} bytes where 16 are needed. {Again}"; return null; }
        int tag = BitConverter.ToUInt16(body), channels = BitConverter.ToUInt16(body[2..]), align = BitConverter.ToUInt16(body[12..]), bits = BitConverter.ToUInt16(body[14..]);
        var rate = BitConverter.ToUInt32(body[4..]);
        if (tag == 0xFFFE)
        {
            if (body.Length < 26) { why = $"The header says “extensible” but leaves out the kind of samples. {Again}"; return null; }
            tag = BitConverter.ToUInt16(body[24..]);
        }
        if (tag is not (1 or 3)) { why = $"The samples are {Coding(tag)}, not plain samples. {Again}"; return null; }
        if (channels is < 1 or > 8) { why = $"The header says {channels} channels; 1 to 8 can be measured. {Again}"; return null; }
        if (rate is < 8_000 or > 192_000) { why = $"The header says {rate} samples a second; 8 000 to 192 000 can be measured. {Again}"; return null; }
        var bytes = align % channels == 0 ? align / channels : 0;
        var fits = tag == 3 ? (bits, bytes) is (32, 4) or (64, 8) : bytes is >= 1 and <= 4 && bits >= 1 && bits <= 8 * bytes && bits > 8 * (bytes - 1);
        if (!fits) { why = $"The header contradicts itself: {channels} channels of {bits}-bit{(tag == 3 ? " float" : "")} samples in {align} bytes. {Again}"; return null; }
        return new(channels, (int)rate, bits, tag == 3, bytes);
    }

    private const string Again = "Save it again from the recorder as a 16- or 24-bit PCM WAV file.";

    private static string Coding(int tag) => tag switch
    {
        2 or 0x11 => "ADPCM (a compressed coding)",
        6 => "A-law (telephone coding)",
        7 => "µ-law (telephone coding)",
        0x31 => "GSM (telephone coding)",
        0x50 or 0x55 => "MPEG (a compressed coding)",
        _ => $"of coding number {tag}",
    };
}
