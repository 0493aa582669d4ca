using System.Globalization;
using Bellwire.App.Web;
using Bellwire.Workshop;

namespace Bellwire.App.Pages;

/// <summary>Acts that several pages offer.</summary>
internal static class CommonPosts
{
    public static Task<string?> Note(Post post)
    {
        if (post.Words("words") is not { } words)
        {
            post.Complain("words", "Type what should be remembered.");
            return Task.FromResult<string?>(null);
        }
        post.Record(new Noted(post.Job, words.Ref), words);
        return Task.FromResult<string?>(post.Here);
    }

    /// <summary>One tap: the entry stays on the journal, struck. Its own form is refused when later entries depend on it.</summary>
    public static Task<string?> Strike(Post post)
    {
        post.Record(new Struck(post.Need("entry", "Say which entry."), post.Typed.Maybe("why") ?? "slip of the hand"));
        return Task.FromResult<string?>(post.Here);
    }

    /// <summary>The owner asks to be forgotten: the texts go, the tape stays.</summary>
    public static Task<string?> Forget(Post post)
    {
        if (post["sure"] != "yes") post.Complain("sure", "Tick it first: what is erased cannot be brought back.");
        post.Record(new Forgotten(Party.OwnerOf(post.Job)));
        return Task.FromResult<string?>(post.Here);
    }

    public static Task<string?> Park(Post post)
    {
        var why = post.Need("why", "Say what it waits for.");
        DateOnly? until = null;
        if (post.Typed.Has("until"))
        {
            if (DateOnly.TryParseExact(post["until"], "yyyy-MM-dd", CultureInfo.InvariantCulture, DateTimeStyles.None, out var day)) until = day;
            else post.Complain("until", "Type the day as 2026-12-01.");
        }
        post.Record(new Parked(post.Job, until, why));
        return Task.FromResult<string?>(post.Here);
    }

    public static async Task<string?> Photo(Post post)
    {
        var photos = post.Files.Where(f => f.Length > 0).ToList();
        if (photos.Count == 0) post.Complain("photo", "Choose a photo first.");
        post.StopIfWrong();
        foreach (var photo in photos)
        {
            await using var stream = photo.OpenReadStream();
            var kept = await post.Desk.Keep(stream, post.Stop);
            if (kept.Refusal is { } refusal) { post.Complain("photo", refusal); return null; }
            var words = post.Words("words");
            post.Record(new Photographed(post.Job, post.Typed.Maybe("piece"), kept.Hash!, kept.MediaType!, words?.Ref), words is { } w ? [w] : []);
        }
        return post.Here;
    }
}
