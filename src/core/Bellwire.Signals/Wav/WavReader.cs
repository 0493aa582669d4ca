using System.Collections.Immutable;
using System.Globalization;

namespace Bellwire.Signals;

/// <summary>Streams samples out of an opened WAV file, block by block; memory is one block. What is there is measured, and where
/// header and file disagree about the length it is said in <see cref="Remarks"/>. One thread at a time.</summary>
public sealed class WavReader
{
    private readonly WavSource _source;
    private readonly byte[] _bytes;
    private readonly bool _unsized;
    private long _left;
    private int _tail;
    private bool _ended;
    private string? _after;

    internal WavReader(WavSource source, WavFormat format, long declaredBytes)
    {
        (_source, Format) = (source, format);
        // A recorder that was cut off leaves 0 or the largest number: then the samples go on to the end of the file.
        _unsized = declaredBytes is 0 or >= uint.MaxValue - 1 and <= uint.MaxValue;
        DeclaredFrames = _unsized ? null : declaredBytes / format.FrameBytes;
        _left = _unsized ? long.MaxValue : declaredBytes;
        _bytes = new byte[Math.Max(1, 65536 / format.FrameBytes) * format.FrameBytes];
    }

    public WavFormat Format { get; }
    /// <summary>Frames the header promises; null when the recorder never wrote the length.</summary>
    public long? DeclaredFrames { get; }
    /// <summary>Frames read so far; at the end, what the file really holds.</summary>
    public long FramesRead { get; private set; }
    /// <summary>Float samples that were not finite numbers, or beyond ±1e6 of full scale, taken as silence.</summary>
    public long Unusable { get; private set; }

    /// <summary>Reads up to <paramref name="frames"/> frames into the first samples of each channel's array.</summary>
    /// <returns>Frames read; 0 at the end of what is there.</returns>
    public int Read(double[][] into, int frames)
    {
        ArgumentNullException.ThrowIfNull(into);
        if (into.Length != Format.Channels) throw new ArgumentException($"The file has {Format.Channels} channels, not {into.Length}.", nameof(into));
        if (frames < 1 || into.Any(c => c.Length < frames)) throw new ArgumentOutOfRangeException(nameof(frames), frames, $"A block has at least 1 frame and fits its arrays ({into.Min(c => c.Length)}).");
        var done = 0;
        while (done < frames && !_ended)
        {
            var wanted = (int)Math.Min(Math.Min(_bytes.Length, (long)(frames - done) * Format.FrameBytes), _left);
            var got = _source.Read(_bytes.AsSpan(0, wanted));
            _left -= got;
            var whole = got / Format.FrameBytes;
            Unusable += WavSamples.Decode(_bytes.AsSpan(0, whole * Format.FrameBytes), Format, into, done);
            done += whole;
            if (got < wanted || whole == 0 || _left == 0) End(got % Format.FrameBytes);
        }
        FramesRead += done;
        return done;
    }

    /// <summary>The rest of the file as one sound; for short files.</summary>
    /// <exception cref="InvalidOperationException">More than <paramref name="mostFrames"/> frames: read it in blocks.</exception>
    public Sound ReadAll(int mostFrames = 1 << 25)
    {
        var parts = new List<double[][]>();
        long total = 0;
        while (true)
        {
            var block = new double[Format.Channels][];
            for (var c = 0; c < block.Length; c++) block[c] = new double[65536];
            var got = Read(block, 65536);
            if (got == 0) break;
            if ((total += got) > mostFrames) throw new InvalidOperationException($"The file holds more than {mostFrames} frames; read it in blocks.");
            parts.Add(got == 65536 ? block : [.. block.Select(c => c[..got])]);
        }
        return new(Format.Rate, [.. Enumerable.Range(0, Format.Channels).Select(c => parts.SelectMany(p => p[c]).ToArray())]);
    }

    /// <summary>What header and file disagree about, in words; complete once <see cref="Read"/> has returned 0.</summary>
    public ImmutableArray<string> Remarks
    {
        get
        {
            var said = ImmutableArray.CreateBuilder<string>();
            if (_ended && FramesRead == 0) said.Add("The file holds no whole sample. Record again, or fetch it again from where it came.");
            else if (_ended && _unsized) said.Add($"The recorder never wrote the length; {Long(FramesRead)} were found and measured.");
            else if (_ended && FramesRead < DeclaredFrames) said.Add($"The header promises {Long(DeclaredFrames.Value)}; {Long(FramesRead)} are there and were measured. Fetch the file again if the rest matters.");
            if (_ended && _tail > 0) said.Add($"At the end {_tail} byte{(_tail == 1 ? " is" : "s are")} left over that make no whole sample.");
            if (_after is not null) said.Add(_after);
            if (Unusable > 0) said.Add($"{Unusable} sample{(Unusable == 1 ? " was no number and was" : "s were no numbers and were")} taken as silence.");
            return said.ToImmutable();
        }
    }

    private string Long(long frames) => string.Create(CultureInfo.InvariantCulture, $"{(double)frames / Format.Rate:0.###} s ({frames} samples a channel)");

    private void End(int tail)
    {
        (_ended, _tail) = (true, tail);
        if (_left != 0 || _unsized) return;
        // Behind the samples may stand other chunks; anything else means that the header counted too few.
        Span<byte> next = stackalloc byte[9];
        var got = _source.Read(next);
        var at = got > 0 && next[0] == 0 ? 1 : 0;
        if (got < 4 + at) return;
        foreach (var letter in next.Slice(at, 4))
            if (letter is < 0x20 or > 0x7E) { _after = "Behind the samples the header counts there is more that it does not name; only what it counts was measured."; return; }
    }
}
