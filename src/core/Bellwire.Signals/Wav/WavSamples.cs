using System.Buffers.Binary;

namespace Bellwire.Signals;

/// <summary>Bytes to samples and back. Whole numbers of n bits are divided by 2^(n−1) of their container; 8 bits are unsigned.</summary>
internal static class WavSamples
{
    public const double Most = 1e6;

    /// <summary>Decodes whole frames into the channels from frame <paramref name="at"/> on; returns how many samples were no usable numbers.</summary>
    public static int Decode(ReadOnlySpan<byte> bytes, WavFormat format, double[][] into, int at)
    {
        var (stride, size) = (format.FrameBytes, format.SampleBytes);
        var unusable = 0;
        for (var c = 0; c < into.Length; c++)
        {
            var channel = into[c].AsSpan(at, bytes.Length / stride);
            var from = c * size;
            switch (format.Float, size)
            {
                case (false, 1): for (var i = 0; i < channel.Length; i++, from += stride) channel[i] = (bytes[from] - 128) / 128.0; break;
                case (false, 2): for (var i = 0; i < channel.Length; i++, from += stride) channel[i] = BinaryPrimitives.ReadInt16LittleEndian(bytes[from..]) * (1.0 / 32768); break;
                case (false, 3): for (var i = 0; i < channel.Length; i++, from += stride) channel[i] = (bytes[from] | bytes[from + 1] << 8 | (sbyte)bytes[from + 2] << 16) * (1.0 / 8388608); break;
                case (false, 4): for (var i = 0; i < channel.Length; i++, from += stride) channel[i] = BinaryPrimitives.ReadInt32LittleEndian(bytes[from..]) * (1.0 / 2147483648); break;
                case (true, 4): for (var i = 0; i < channel.Length; i++, from += stride) unusable += Usable(BinaryPrimitives.ReadSingleLittleEndian(bytes[from..]), ref channel[i]); break;
                default: for (var i = 0; i < channel.Length; i++, from += stride) unusable += Usable(BinaryPrimitives.ReadDoubleLittleEndian(bytes[from..]), ref channel[i]); break;
            }
        }
        return unusable;
    }

    private static int Usable(double value, ref double into)
    {
        var usable = Math.Abs(value) <= Most;
        into = usable ? value : 0;
        return usable ? 0 : 1;
    }

    /// <summary>Encodes one sample; whole numbers are rounded to the nearest step (halves to even) and held at the ends of the scale.</summary>
    public static void Encode(double value, WavFormat format, Span<byte> into)
    {
        if (format.Float)
        {
            if (format.SampleBytes == 4) BinaryPrimitives.WriteSingleLittleEndian(into, (float)value);
            else BinaryPrimitives.WriteDoubleLittleEndian(into, value);
            return;
        }
        var full = Math.Pow(2, 8 * format.SampleBytes - 1);
        var whole = (long)Math.Clamp(Math.Round(value * full), -full, full - 1);
        switch (format.SampleBytes)
        {
            case 1: into[0] = (byte)(whole + 128); break;
            case 2: BinaryPrimitives.WriteInt16LittleEndian(into, (short)whole); break;
            case 3: (into[0], into[1], into[2]) = ((byte)whole, (byte)(whole >> 8), (byte)(whole >> 16)); break;
            default: BinaryPrimitives.WriteInt32LittleEndian(into, (int)whole); break;
        }
    }
}
