using Bellwire.Signals;

namespace Core.Tests.Signals;

/// <summary>Files damaged by cutting, overwriting, inserting and lying: no crash, no hang, no lie about length.</summary>
public class DamagedWavTests
{
    [Fact]
    public void Whatever_happened_to_the_file_the_length_is_what_is_there()
    {
        var count = Environment.GetEnvironmentVariable("BELLWIRE_DEEP") == "1" ? 100_000 : 2_000;
        var originals = (from kind in Enum.GetValues<WavKind>() from channels in new[] { 1, 2, 5 }
                         select Wav.Bytes(new Sound(16000, [.. Enumerable.Range(1, channels).Select(c => Make.Noise(c, 700, 0.1))]), kind)).ToArray();
        var (read, refused, remarked) = (0, 0, 0);
        for (var seed = 0; seed < count; seed++)
        {
            var random = new Random(seed);
            var bytes = Damage(originals[random.Next(originals.Length)], random);
            var opened = WavOpening.Of(new Dribble(bytes, random.Next(1, 5000)));
            Assert.True(opened.Reader is null != opened.Why is null);
            if (opened.Why is { } why)
            {
                refused++;
                Assert.True(why.Length is > 20 and < 300 && why.EndsWith('.'), why);
                continue;
            }
            read++;
            var reader = opened.Reader!;
            var block = Enumerable.Range(0, reader.Format.Channels).Select(_ => new double[512]).ToArray();
            long frames = 0;
            var worst = 0.0;
            for (int got; (got = reader.Read(block, 512)) > 0;)
            {
                frames += got;
                foreach (var channel in block) worst = Math.Max(worst, channel.Max(Math.Abs));
                Assert.True(frames <= bytes.Length, $"seed {seed}: more frames than bytes");
            }
            Assert.True(worst <= 1e6, $"seed {seed}: a sample of {worst}");
            Assert.Equal(frames, reader.FramesRead);
            Assert.Equal(0, reader.Read(block, 512));
            Assert.True(frames * reader.Format.FrameBytes <= bytes.Length - 44, $"seed {seed}: {frames} frames out of {bytes.Length} bytes");
            if (reader.DeclaredFrames != frames) { remarked++; Assert.NotEmpty(reader.Remarks); }
        }
        // The damage reaches all three ends; otherwise this test would prove nothing.
        Assert.True(read > count / 5 && refused > count / 20 && remarked > count / 20, $"{read} read, {refused} refused, {remarked} with a remark");
    }

    private static byte[] Damage(byte[] whole, Random random)
    {
        var bytes = whole.ToList();
        for (var n = random.Next(1, 4); n > 0; n--)
        {
            var inHeader = random.Next(Math.Min(60, Math.Max(1, bytes.Count)));
            switch (random.Next(7))
            {
                case 0: bytes = bytes[..random.Next(bytes.Count + 1)]; break;
                case 1: if (bytes.Count > 0) bytes[inHeader] = (byte)random.Next(256); break;
                case 2: if (bytes.Count > inHeader + 4) foreach (var (b, i) in BitConverter.GetBytes(random.Next(3) == 0 ? uint.MaxValue : (uint)random.NextInt64(1L << 32)).Select((b, i) => (b, i))) bytes[inHeader + i] = b; break;
                case 3: bytes.InsertRange(inHeader, Enumerable.Range(0, random.Next(1, 40)).Select(_ => (byte)random.Next(256))); break;
                case 4: if (bytes.Count > inHeader) bytes.RemoveRange(inHeader, random.Next(1, Math.Min(20, bytes.Count - inHeader + 1))); break;
                case 5: bytes.AddRange(Enumerable.Range(0, random.Next(1, 3000)).Select(_ => (byte)random.Next(256))); break;
                default: for (var k = 0; k < 40 && bytes.Count > 0; k++) bytes[random.Next(bytes.Count)] = (byte)random.Next(256); break;
            }
            if (bytes.Count == 0) break;
        }
        return [.. bytes];
    }

    /// <summary>A stream that hands out a few bytes at a time and cannot seek, as a pipe does.</summary>
    private sealed class Dribble(byte[] bytes, int most) : Stream
    {
        private int _at;
        public override bool CanRead => true;
        public override bool CanSeek => false;
        public override bool CanWrite => false;
        public override long Length => throw new NotSupportedException();
        public override long Position { get => throw new NotSupportedException(); set => throw new NotSupportedException(); }
        public override int Read(byte[] buffer, int offset, int count)
        {
            var n = Math.Min(Math.Min(count, most), bytes.Length - _at);
            Array.Copy(bytes, _at, buffer, offset, n);
            _at += n;
            return n;
        }
        public override void Flush() { }
        public override long Seek(long offset, SeekOrigin origin) => throw new NotSupportedException();
        public override void SetLength(long value) => throw new NotSupportedException();
        public override void Write(byte[] buffer, int offset, int count) => throw new NotSupportedException();
    }
}
