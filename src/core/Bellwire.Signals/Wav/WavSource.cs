namespace Bellwire.Signals;

/// <summary>A stream read to the last byte it gives, and a count of them.</summary>
internal sealed class WavSource(Stream stream)
{
    private readonly byte[] _skipped = new byte[4096];

    private byte[] _back = [];

    /// <summary>Fills the span as far as the stream goes.</summary>
    public int Read(Span<byte> into)
    {
        var kept = Math.Min(_back.Length, into.Length);
        _back.AsSpan(0, kept).CopyTo(into);
        _back = _back[kept..];
        return kept + (kept == into.Length ? 0 : stream.ReadAtLeast(into[kept..], into.Length - kept, throwOnEndOfStream: false));
    }

    /// <summary>Looks at what comes next without taking it; call only when nothing looked at is left.</summary>
    public ReadOnlySpan<byte> Peek(int bytes)
    {
        var seen = new byte[bytes];
        return _back = seen[..Read(seen)];
    }

    /// <summary>Reads on without keeping; stops at the end whatever the header promised.</summary>
    public void Skip(long bytes)
    {
        while (bytes > 0)
        {
            var got = Read(_skipped.AsSpan(0, (int)Math.Min(bytes, _skipped.Length)));
            if (got == 0) return;
            bytes -= got;
        }
    }
}
