using System.Buffers.Binary;

namespace Bellwire.Signals;

/// <summary>How to write: 8-, 16-, 24- or 32-bit whole numbers, or float of 32 or 64 bits.</summary>
public enum WavKind { Pcm8, Pcm16, Pcm24, Pcm32, Float32, Float64 }

/// <summary>Writes a sound as a WAV file. More than two channels, or more than 16 bits, use the extensible header as the format asks.</summary>
public static class WavWriter
{
    private static readonly byte[] SubFormatTail = [0x00, 0x00, 0x00, 0x00, 0x10, 0x00, 0x80, 0x00, 0x00, 0xAA, 0x00, 0x38, 0x9B, 0x71];

    /// <exception cref="ArgumentException">More than 8 channels, a rate outside 8 000..192 000 Hz, or more than 4 GB.</exception>
    public static void Write(Stream to, Sound sound, WavKind kind = WavKind.Pcm16)
    {
        ArgumentNullException.ThrowIfNull(to);
        ArgumentNullException.ThrowIfNull(sound);
        if (sound.Channels.Length > 8) throw new ArgumentException($"A WAV file here has 1 to 8 channels, not {sound.Channels.Length}.", nameof(sound));
        if (sound.Rate is < 8_000 or > 192_000) throw new ArgumentException($"A WAV file here has 8 000 to 192 000 samples a second, not {sound.Rate}.", nameof(sound));
        var bytes = kind switch { WavKind.Pcm8 => 1, WavKind.Pcm16 => 2, WavKind.Pcm24 => 3, WavKind.Float64 => 8, _ => 4 };
        var format = new WavFormat(sound.Channels.Length, sound.Rate, 8 * bytes, kind is WavKind.Float32 or WavKind.Float64, bytes);
        var data = (long)sound.Frames * format.FrameBytes;
        if (data > uint.MaxValue - 100) throw new ArgumentException($"{data} bytes of samples do not fit a WAV file; write fewer seconds.", nameof(sound));
        to.Write(Header(format, (uint)data));
        var block = new byte[4096 * format.FrameBytes];
        for (var at = 0; at < sound.Frames;)
        {
            var frames = Math.Min(4096, sound.Frames - at);
            for (var i = 0; i < frames; i++)
                for (var c = 0; c < format.Channels; c++)
                    WavSamples.Encode(sound.Channels[c][at + i], format, block.AsSpan((i * format.Channels + c) * bytes, bytes));
            to.Write(block.AsSpan(0, frames * format.FrameBytes));
            at += frames;
        }
        if ((data & 1) != 0) to.WriteByte(0);
    }

    private static byte[] Header(WavFormat format, uint data)
    {
        var extensible = format.Channels > 2 || (!format.Float && format.Bits > 16);
        var body = extensible ? 40 : format.Float ? 18 : 16;
        var head = new byte[20 + body + 8];
        "RIFF"u8.CopyTo(head);
        BinaryPrimitives.WriteUInt32LittleEndian(head.AsSpan(4), (uint)(head.Length - 8) + data + (data & 1));
        "WAVEfmt "u8.CopyTo(head.AsSpan(8));
        BinaryPrimitives.WriteInt32LittleEndian(head.AsSpan(16), body);
        var tag = (ushort)(format.Float ? 3 : 1);
        var fmt = head.AsSpan(20);
        BinaryPrimitives.WriteUInt16LittleEndian(fmt, extensible ? (ushort)0xFFFE : tag);
        BinaryPrimitives.WriteUInt16LittleEndian(fmt[2..], (ushort)format.Channels);
        BinaryPrimitives.WriteInt32LittleEndian(fmt[4..], format.Rate);
        BinaryPrimitives.WriteInt32LittleEndian(fmt[8..], format.Rate * format.FrameBytes);
        BinaryPrimitives.WriteUInt16LittleEndian(fmt[12..], (ushort)format.FrameBytes);
        BinaryPrimitives.WriteUInt16LittleEndian(fmt[14..], (ushort)format.Bits);
        if (extensible)
        {
            BinaryPrimitives.WriteUInt16LittleEndian(fmt[16..], 22);
            BinaryPrimitives.WriteUInt16LittleEndian(fmt[18..], (ushort)format.Bits);
            BinaryPrimitives.WriteUInt32LittleEndian(fmt[20..], 0); // speakers not assigned
            BinaryPrimitives.WriteUInt16LittleEndian(fmt[24..], tag);
            SubFormatTail.CopyTo(fmt[26..]);
        }
        "data"u8.CopyTo(head.AsSpan(20 + body));
        BinaryPrimitives.WriteUInt32LittleEndian(head.AsSpan(24 + body), data);
        return head;
    }
}
