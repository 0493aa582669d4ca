using System.Buffers.Binary;

namespace Bellwire.Store;

/// <summary>WebP, RFC 9649 section 2: a RIFF file of chunks, padded to even lengths.</summary>
internal static class WebP
{
    private const byte HasExif = 0x08, HasXmp = 0x04; // flags of VP8X, section 2.7.1.1

    public static bool Is(ReadOnlySpan<byte> bytes) => bytes.Length >= 12 && bytes.StartsWith("RIFF"u8) && bytes[8..].StartsWith("WEBP"u8);

    /// <summary>Without EXIF, XMP, unknown chunks and anything behind the end; null when the chunks cannot be followed.</summary>
    public static byte[]? Strip(byte[] bytes)
    {
        var end = 8 + (long)BinaryPrimitives.ReadUInt32LittleEndian(bytes.AsSpan(4));
        if (end > bytes.Length) return null;
        using var kept = new MemoryStream(bytes.Length);
        kept.Write(bytes, 0, 12);
        for (var at = 12; at < end;)
        {
            if (at + 8 > end) return null;
            var length = BinaryPrimitives.ReadUInt32LittleEndian(bytes.AsSpan(at + 4));
            var next = at + 8 + length + (length & 1);
            if (next > end) return null;
            var chunk = bytes.AsSpan(at, (int)(next - at));
            if (chunk.StartsWith("VP8X"u8) && length > 0) chunk[8] &= unchecked((byte)~(HasExif | HasXmp));
            if (chunk[..4] is var name && (name.StartsWith("VP8"u8) || name.SequenceEqual("ALPH"u8) || name.StartsWith("ANI"u8) || name.SequenceEqual("ANMF"u8) || name.SequenceEqual("ICCP"u8)))
                kept.Write(chunk);
            at = (int)next;
        }
        var stripped = kept.ToArray();
        BinaryPrimitives.WriteUInt32LittleEndian(stripped.AsSpan(4), (uint)(stripped.Length - 8));
        return stripped;
    }
}
