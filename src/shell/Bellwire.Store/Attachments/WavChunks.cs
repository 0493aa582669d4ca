using System.Buffers.Binary;

namespace Bellwire.Store;

/// <summary>WAV: a RIFF file of chunks, padded to even lengths (Multimedia Programming Interface 1.0; RF64: EBU Tech 3306). Recorders and
/// telephones hang on who, where, when and with what: LIST/INFO, bext, iXML, id3, and more of the kind.</summary>
internal static class WavChunks
{
    private const int Head = 12, ChunkHead = 8, LargestFormat = 40;

    public static bool Is(ReadOnlySpan<byte> bytes) => bytes.Length >= Head && (bytes.StartsWith("RIFF"u8) || bytes.StartsWith("RF64"u8)) && bytes[8..].StartsWith("WAVE"u8);

    /// <summary>Only what the samples need: their description (fmt, fact, ds64) and they themselves, to the byte; nothing behind them.
    /// A length that the recorder never wrote, or that promises more than is there, stays as it was written.</summary>
    /// <returns>Null when there are no samples to be found.</returns>
    public static byte[]? Strip(byte[] bytes)
    {
        using var kept = new MemoryStream(bytes.Length);
        kept.Write(bytes, 0, Head);
        var (longAt, longData) = (-1, -1L);
        for (long at = Head; at + ChunkHead <= bytes.Length;)
        {
            var name = bytes.AsSpan((int)at, 4);
            long size = BinaryPrimitives.ReadUInt32LittleEndian(bytes.AsSpan((int)at + 4));
            var body = at + ChunkHead;
            if (name.SequenceEqual("data"u8))
            {
                var length = size == uint.MaxValue && longData >= 0 ? longData : size is 0 or uint.MaxValue ? bytes.Length - body : size;
                var there = (int)Math.Min(length, bytes.Length - body);
                kept.Write(bytes, (int)at, ChunkHead + there);
                if ((there & 1) == 1 && length == there) kept.WriteByte(0);
                return Sized(kept.ToArray(), longAt);
            }
            if (body + size > bytes.Length) return null;
            if (name.SequenceEqual("ds64"u8) && size >= 24)
            {
                (longAt, longData) = ((int)kept.Length, BinaryPrimitives.ReadInt64LittleEndian(bytes.AsSpan((int)body + 8)));
                Chunk(kept, bytes, (int)at, 24); // the table behind it counts chunks that go
                kept.Write([0, 0, 0, 0]);
                BinaryPrimitives.WriteInt32LittleEndian(kept.GetBuffer().AsSpan(longAt + 4), 28);
            }
            else if (name.SequenceEqual("fmt "u8)) Chunk(kept, bytes, (int)at, (int)Math.Min(size, LargestFormat));
            else if (name.SequenceEqual("fact"u8) && size >= 4) Chunk(kept, bytes, (int)at, 4);
            at = body + size + (size & 1);
        }
        return null;
    }

    /// <summary>One chunk, its first <paramref name="length"/> bytes.</summary>
    private static void Chunk(MemoryStream kept, byte[] bytes, int at, int length)
    {
        Span<byte> size = stackalloc byte[4];
        BinaryPrimitives.WriteInt32LittleEndian(size, length);
        kept.Write(bytes, at, 4);
        kept.Write(size);
        kept.Write(bytes, at + ChunkHead, length);
        if ((length & 1) == 1) kept.WriteByte(0);
    }

    /// <summary>The length of the whole, where the file says it: at its head, in RF64 in ds64.</summary>
    private static byte[] Sized(byte[] wav, int longAt)
    {
        if (longAt < 0) BinaryPrimitives.WriteUInt32LittleEndian(wav.AsSpan(4), (uint)(wav.Length - 8));
        else BinaryPrimitives.WriteInt64LittleEndian(wav.AsSpan(longAt + ChunkHead), wav.Length - 8);
        return wav;
    }
}
