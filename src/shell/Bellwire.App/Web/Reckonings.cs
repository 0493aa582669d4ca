using System.Collections.Concurrent;

namespace Bellwire.App.Web;

/// <summary>How far the long posts under way have come, by the id of their form: the page that sent one asks, and shows it.</summary>
internal sealed class Reckonings
{
    private readonly ConcurrentDictionary<string, (string Words, double? Share)> under = new(StringComparer.Ordinal);

    public static void Map(WebApplication app) => app.MapGet("/reckoning/{id}", (string id, Reckonings all, HttpContext context) =>
    {
        context.Response.Headers.CacheControl = "no-store";
        return all.under.TryGetValue(id, out var now) ? Results.Json(new { words = now.Words, share = now.Share }) : Results.NoContent();
    });

    /// <summary>Under way from here until the answer is disposed of.</summary>
    public Telling Begin(string id) => new(this, id);

    internal sealed class Telling(Reckonings all, string id) : IDisposable
    {
        /// <param name="share">0..1, or null when nobody can say.</param>
        public void Say(string words, double? share) => all.under[id] = (words, share is { } s ? Math.Clamp(s, 0, 1) : null);
        public void Dispose() => all.under.TryRemove(id, out _);
    }
}
