using Bellwire.Signals;

namespace Bellwire.App.Ears;

/// <summary>A recording heard from a stream: what a listener makes of all of it, and its first part kept for what needs samples.</summary>
/// <param name="Seconds">Really in the file.</param>
/// <param name="Start">The first two minutes (of two channels at 48 kHz the first), or all of a shorter recording; empty when not kept.</param>
/// <param name="Remarks">What header and file disagree about, in words.</param>
public sealed record Hearing(WavFormat Format, double Seconds, IReadOnlyList<HeardChannel> Channels, Sound Start, IReadOnlyList<string> Remarks)
{
    private const int Block = 1 << 16, KeptSeconds = 120, KeptSamples = 6_000_000;

    /// <summary>Listens to a WAV stream to its end, or says in one sentence why it cannot.</summary>
    /// <param name="keep">Keep the samples of the first two minutes, or of as many as six million are.</param>
    /// <param name="progress">Told seconds heard so far and, where the header says, in all.</param>
    public static (Hearing? Heard, string Why) Of(Stream stream, ListenAsked asked, bool keep, Action<double, double?>? progress, CancellationToken stop)
    {
        var opened = WavOpening.Of(stream);
        if (opened.Reader is not { } reader) return (null, opened.Why!);
        var format = reader.Format;
        var listener = new Listener(format.Rate, format.Channels, asked);
        double[][] Arrays() => [.. Enumerable.Range(0, format.Channels).Select(_ => new double[Block])];
        var (now, next) = (Arrays(), Arrays());
        var keepFrames = keep ? Math.Min(KeptSeconds * format.Rate, KeptSamples / format.Channels) : 0;
        // Room for what the header promises, made once: growing by doubling would take twice the memory.
        var (kept, keptFrames) = (Enumerable.Range(0, format.Channels).Select(_ => new double[Math.Min(keepFrames, reader.DeclaredFrames ?? keepFrames)]).ToArray(), 0);
        var got = reader.Read(now, Block);
        while (got > 0)
        {
            stop.ThrowIfCancellationRequested();
            // The next block is fetched while this one is measured.
            var fetch = Task.Run(() => reader.Read(next, Block), CancellationToken.None);
            listener.Feed(now, got);
            var more = Math.Min(got, kept[0].Length - keptFrames);
            for (var c = 0; c < kept.Length; c++) now[c].AsSpan(0, more).CopyTo(kept[c].AsSpan(keptFrames));
            keptFrames += more;
            got = fetch.GetAwaiter().GetResult();
            (now, next) = (next, now);
            progress?.Invoke((double)reader.FramesRead / format.Rate, reader.DeclaredFrames is { } d ? (double)d / format.Rate : null);
        }
        var seconds = (double)reader.FramesRead / format.Rate;
        if (reader.FramesRead == 0) return (null, string.Join(" ", reader.Remarks));
        return (new(format, seconds, listener.Finish(), new(format.Rate, [.. kept.Select(k => keptFrames == k.Length ? k : k[..keptFrames])]), reader.Remarks), "");
    }
}
