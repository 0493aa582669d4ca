using System.Buffers.Binary;

namespace Bellwire.Store;

/// <summary>Takes what tells where and with what a photograph was taken out of JPEG and PNG files; the picture is untouched.
/// JPEG: ISO/IEC 10918-1 B.1.1.4 (segments). PNG: W3C PNG, third edition, 5.3 (chunks).</summary>
internal static class Metadata
{
    private static readonly byte[] Png = [0x89, 0x50, 0x4E, 0x47, 0x0D, 0x0A, 0x1A, 0x0A];
    private static readonly HashSet<string> PngText = ["eXIf", "tEXt", "zTXt", "iTXt", "tIME"];

    public static void Strip(string path)
    {
        var bytes = File.ReadAllBytes(path);
        var stripped = bytes.AsSpan().StartsWith(Png) ? StripPng(bytes) : bytes is [0xFF, 0xD8, 0xFF, ..] ? StripJpeg(bytes) : null;
        if (stripped is not null) File.WriteAllBytes(path, stripped);
    }

    /// <summary>Drops APP1 (EXIF, XMP) and APP13 (captions, places) and comments, keeping the orientation.</summary>
    internal static byte[]? StripJpeg(byte[] bytes)
    {
        using var kept = new MemoryStream(bytes.Length);
        kept.Write(bytes, 0, 2);
        var at = 2;
        while (at + 4 <= bytes.Length && bytes[at] == 0xFF)
        {
            var marker = bytes[at + 1];
            if (marker == 0xDA) { kept.Write(bytes, at, bytes.Length - at); return kept.ToArray(); }
            var length = BinaryPrimitives.ReadUInt16BigEndian(bytes.AsSpan(at + 2));
            if (length < 2 || at + 2 + length > bytes.Length) return null;
            var segment = bytes.AsSpan(at, 2 + length);
            if (marker == 0xE1 && Orientation(segment) is { } turned) kept.Write(OrientationOnly(turned));
            if (marker is not (0xE1 or 0xED or 0xFE)) kept.Write(segment);
            at += 2 + length;
        }
        return null;
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
