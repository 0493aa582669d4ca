using System.Net.ServerSentEvents;
using System.Runtime.CompilerServices;
using System.Threading.Channels;
using Bellwire.App.Desks;

namespace Bellwire.App.Web;

/// <summary>Tells every open page, by server-sent event, the number of each new entry. The page fetches what is alive by itself.</summary>
internal sealed class LiveEvents
{
    private readonly Lock gate = new();
    private readonly List<Channel<long>> open = [];
    private readonly Desk desk;

    public LiveEvents(Desk desk)
    {
        this.desk = desk;
        desk.Grown += Tell;
    }

    public static void Map(WebApplication app) => app.MapGet("/events", (HttpContext context, LiveEvents events, IHostApplicationLifetime life) =>
    {
        context.Response.Headers.CacheControl = "no-store";
        return TypedResults.ServerSentEvents(events.Follow(life.ApplicationStopping, context.RequestAborted));
    });

    private void Tell(long number)
    {
        lock (gate) foreach (var channel in open) channel.Writer.TryWrite(number);
    }

    /// <summary>The head at once, so that a page that slept catches up; then each new number.</summary>
    private async IAsyncEnumerable<SseItem<long>> Follow(CancellationToken stopping, [EnumeratorCancellation] CancellationToken gone)
    {
        using var either = CancellationTokenSource.CreateLinkedTokenSource(stopping, gone);
        var channel = Channel.CreateBounded<long>(new BoundedChannelOptions(16) { FullMode = BoundedChannelFullMode.DropOldest });
        lock (gate) open.Add(channel);
        try
        {
            yield return new(desk.Head, "changed");
            while (true)
            {
                long number;
                try { number = await channel.Reader.ReadAsync(either.Token); }
                catch (OperationCanceledException) { yield break; }
                yield return new(number, "changed");
            }
        }
        finally
        {
            lock (gate) open.Remove(channel);
        }
    }
}
