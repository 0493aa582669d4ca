using System.Runtime.CompilerServices;
using System.Threading.Channels;

namespace Bellwire.Store;

/// <summary>Tells every open page that the journal has grown. A slow listener gets the newest number, never a backlog.</summary>
internal sealed class Watchers
{
    private readonly Lock gate = new();
    private readonly HashSet<Channel<long>> open = [];

    public void Tell(long head)
    {
        lock (gate) foreach (var channel in open) channel.Writer.TryWrite(head);
    }

    public async IAsyncEnumerable<long> Watch([EnumeratorCancellation] CancellationToken cancel)
    {
        var channel = Channel.CreateBounded<long>(new BoundedChannelOptions(1) { FullMode = BoundedChannelFullMode.DropOldest });
        lock (gate) open.Add(channel);
        try
        {
            await foreach (var head in channel.Reader.ReadAllAsync(cancel)) yield return head;
        }
        finally
        {
            lock (gate) open.Remove(channel);
        }
    }
}
