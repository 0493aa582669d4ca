using System.Buffers.Binary;
using Bellwire.Signals;

namespace Core.Tests.Signals;

/// <summary>Alone, so that nothing else in the process counts.</summary>
[CollectionDefinition("memory", DisableParallelization = true)]
public class MemoryCollection;

[Collection("memory")]
public class ListenerMemoryTests
{
    /// <summary>Hum and hiss, made as they are read: an hour is nowhere in memory.</summary>
    private sealed class Hour(int rate, int seconds) : Stream
    {
        private readonly byte[] _minute = Minute(rate);
        private readonly long _length = 44 + 2L * rate * seconds;
        private long _at;

        private static byte[] Minute(int rate) => Wav.Bytes(new Sound(rate, Make.Sum(Make.Noise(1, 60 * rate, 0.01), Make.Sine(rate, 60, 120, 0.1))));

        public override int Read(byte[] buffer, int offset, int count)
        {
            var done = 0;
            for (; done < count && _at < _length; done++, _at++)
                buffer[offset + done] = _at < 44 ? Head(_at) : _minute[44 + (int)((_at - 44) % (_minute.Length - 44))];
            return done;
        }

        private byte Head(long at)
        {
            Span<byte> size = stackalloc byte[4];
            BinaryPrimitives.WriteUInt32LittleEndian(size, (uint)(_length - 44));
            return at < 40 ? _minute[at] : size[(int)at - 40];
        }

        public override bool CanRead => true;
        public override bool CanSeek => false;
        public override bool CanWrite => false;
        public override long Length => throw new NotSupportedException();
        public override long Position { get => throw new NotSupportedException(); set => throw new NotSupportedException(); }
        public override void Flush() { }
        public override long Seek(long offset, SeekOrigin origin) => throw new NotSupportedException();
        public override void SetLength(long value) => throw new NotSupportedException();
        public override void Write(byte[] buffer, int offset, int count) => throw new NotSupportedException();
    }

    [Fact]
    public void An_hour_lives_in_the_memory_of_five_minutes()
    {
        const int rate = 8000, block = 1 << 15;
        var reader = WavOpening.Of(new Hour(rate, 3600)).Reader!;
        Assert.Equal(3600L * rate, reader.DeclaredFrames);
        var listener = new Listener(rate, 1, new());
        var watch = new Watcher(rate, new());
        double[][] samples = [new double[block]];
        long early = 0, most = 0;
        for (var n = 1; reader.Read(samples, block) is > 0 and var got; n++)
        {
            listener.Feed(samples, got);
            watch.Feed(samples[0].AsSpan(0, got));
            if (n % 75 != 0) continue; // every five minutes and some
            var alive = GC.GetTotalMemory(forceFullCollection: true);
            if (early == 0) early = alive;
            most = Math.Max(most, alive);
        }
        var heard = listener.Finish()[0];
        Assert.Equal((3600L * rate, 60), (heard.Level.Frames, watch.Minutes.Length));
        Assert.Equal(Decibels.Of(0.1 / Math.Sqrt(2)), heard.Hum!.RmsDbfs, 0.05);
        Assert.True(early > 0 && most - early < 2_000_000, $"{early / 1e6:0.0} MB alive after five minutes, {most / 1e6:0.0} MB at most after");
    }
}
