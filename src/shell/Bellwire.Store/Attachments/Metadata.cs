using System.Buffers.Binary;

namespace Bellwire.Store;

/// <summary>Takes what tells where, with what and by whom out of JPEG, PNG, WebP and WAV files; picture and sound are untouched.
/// JPEG: ISO/IEC 10918-1 B.1.1.4 (segments). PNG: W3C PNG, third edition, 5.3 (chunks).</summary>
internal static class Metadata
{
    private static readonly byte[] Png = [0x89, 0x50, 0x4E, 0x47, 0x0D, 0x0A, 0x1A, 0x0A];
    private static readonly HashSet<string> PngText = ["eXIf", "tEXt", "zTXt", "iTXt", "tIME"];

    /// <exception cref="StoreException">A picture or recording whose header cannot be followed: its place could not be taken out.</exception>
    public static void Strip(string path)
    {
        var bytes = File.ReadAllBytes(path);
        Func<byte[], byte[]?>? how = bytes.AsSpan().StartsWith(Png) ? StripPng : bytes is [0xFF, 0xD8, 0xFF, ..] ? StripJpeg : WebP.Is(bytes) ? WebP.Strip : null;
        if (WavChunks.Is(bytes))
        {
            File.WriteAllBytes(path, WavChunks.Strip(bytes) ?? throw new StoreException("The recording is damaged: where it was made could not be taken out of it. Nothing was kept."));
            return;
        }
        if (how is null) return;
        File.WriteAllBytes(path, how(bytes) ?? throw new StoreException("The picture is damaged: where it was taken could not be taken out of it. Nothing was kept."));
    }

    /// <summary>Keeps what draws the picture: APP0, the colour profile in APP2, APP14, and the orientation. Everything else an application
    /// hung on goes – EXIF, XMP, captions, comments, and further pictures or films behind the end.</summary>
    internal static byte[]? StripJpeg(byte[] bytes)
    {
        using var kept = new MemoryStream(bytes.Length);
        kept.Write(bytes, 0, 2);
        var at = 2;
        var seen = false;
        while (at + 2 <= bytes.Length && bytes[at] == 0xFF)
        {
            if (bytes[at + 1] == 0xFF) { at++; continue; } // fill byte, B.1.1.2
            var marker = bytes[at + 1];
            if (marker == 0xD9) { kept.Write(bytes, at, 2); return kept.ToArray(); }
            if (at + 4 > bytes.Length) break;
            var length = BinaryPrimitives.ReadUInt16BigEndian(bytes.AsSpan(at + 2));
            if (length < 2 || at + 2 + length > bytes.Length) break;
            var segment = bytes.AsSpan(at, 2 + length);
            if (marker == 0xE1 && Orientation(segment) is { } turned) kept.Write(OrientationOnly(turned));
            if (Draws(marker, segment[4..])) kept.Write(segment);
            at += 2 + length;
            if (marker != 0xDA) continue;
            seen = true;
            var end = EndOfScan(bytes, at);
            kept.Write(bytes, at, end - at);
            at = end;
        }
        return seen ? kept.ToArray() : null; // cut short in the middle of the picture: what is there can be shown
    }

    private static bool Draws(byte marker, ReadOnlySpan<byte> body) => marker switch
    {
        0xE0 or 0xEE => true,
        0xE2 => body.StartsWith("ICC_PROFILE\0"u8),
        >= 0xE0 and <= 0xEF or 0xFE => false,
        _ => true,
    };

    /// <summary>First marker after entropy-coded data: stuffed zeros and restarts belong to the data (B.1.1.5).</summary>
    private static int EndOfScan(byte[] bytes, int at)
    {
        while (at + 1 < bytes.Length && !(bytes[at] == 0xFF && bytes[at + 1] is not (0 or 0xFF or (>= 0xD0 and <= 0xD7)))) at++;
        return at + 1 < bytes.Length ? at : bytes.Length;
    }

    private static byte[]? StripPng(byte[] bytes)
    {
        using var kept = new MemoryStream(bytes.Length);
        kept.Write(bytes, 0, 8);
        var at = 8;
        while (at + 12 <= bytes.Length)
        {
            var length = BinaryPrimitives.ReadUInt32BigEndian(bytes.AsSpan(at));
            if (at + 12 + (long)length > bytes.Length) return null;
            var type = System.Text.Encoding.ASCII.GetString(bytes, at + 4, 4);
            if (!PngText.Contains(type)) kept.Write(bytes, at, 12 + (int)length);
            at += 12 + (int)length;
            if (type == "IEND") return kept.ToArray();
        }
        return null;
    }

    /// <summary>EXIF tag 0x0112 of the first directory; null when absent.</summary>
    private static ushort? Orientation(ReadOnlySpan<byte> segment)
    {
        if (segment.Length < 18 || !segment[4..].StartsWith("Exif\0\0"u8)) return null;
        var tiff = segment[10..];
        var little = tiff[0] == (byte)'I';
        ushort U16(ReadOnlySpan<byte> s) => little ? BinaryPrimitives.ReadUInt16LittleEndian(s) : BinaryPrimitives.ReadUInt16BigEndian(s);
        var offset = little ? BinaryPrimitives.ReadUInt32LittleEndian(tiff[4..]) : BinaryPrimitives.ReadUInt32BigEndian(tiff[4..]);
        if (offset + 2 > tiff.Length) return null;
        int count = U16(tiff[(int)offset..]);
        for (var i = 0; i < count; i++)
        {
            var at = (int)offset + 2 + 12 * i;
            if (at + 12 > tiff.Length) return null;
            if (U16(tiff[at..]) == 0x0112) return U16(tiff[(at + 8)..]);
        }
        return null;
    }

    private static byte[] OrientationOnly(ushort orientation) =>
    [
        0xFF, 0xE1, 0, 34, .. "Exif\0\0"u8, .. "MM\0*"u8, 0, 0, 0, 8, 0, 1, 0x01, 0x12, 0, 3, 0, 0, 0, 1,
        (byte)(orientation >> 8), (byte)orientation, 0, 0, 0, 0, 0, 0,
    ];
}
