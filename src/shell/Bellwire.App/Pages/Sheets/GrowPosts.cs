using Bellwire.App.Web;
using Bellwire.Counsel;

namespace Bellwire.App.Pages.Sheets;

/// <summary>Named on a tape, taken into the family's sheet.</summary>
internal static class GrowPosts
{
    public static readonly Dictionary<string, PostAct> Acts = new() { ["grow"] = post => Take(post, one: true), ["all"] = post => Take(post, one: false), ["family"] = Family };

    private static async Task<string?> Take(Post post, bool one)
    {
        var what = post.Desk.Promotables(post.Job).Where(p => !one || $"{p.What}/{p.Name}" == post["key"]).ToList();
        if (what.Count == 0) { post.Typed.Refusal = "The sheet has it already."; return null; }
        if (one) what = [PutRight(post, what[0])];
        post.StopIfWrong();
        var (acts, why) = await post.Desk.Grow(post.Job, what, post.Stop);
        if (why is not null) { post.Typed.Refusal = why; return null; }
        post.Desk.Take(() => post.RecordAll(acts));
        return post.Here;
    }

    /// <summary>What was typed over the fields of the one thing taken; a field left empty stays as the tape has it.</summary>
    private static Promotable PutRight(Post post, Promotable what)
    {
        var typed = new Dictionary<string, object>();
        foreach (var (key, label, _) in what.Asked)
            if (key == "count") { if (post.Whole(key, 0, 10_000, label) is { } whole) typed[key] = whole; }
            else if (Promotable.IsNumber(key)) { if (post.Number(key, -1e9, 1e9, label) is { } number) typed[key] = number; }
            else if (post.Typed.Maybe(key) is { } words) typed[key] = words;
        return what.With(typed);
    }

    private static async Task<string?> Family(Post post)
    {
        var (id, title) = (post.Need("family", "A short name, such as lower-lane."), post.Need("title", "What it is called."));
        post.StopIfWrong();
        var (acts, why) = await post.Desk.BeginFamily(post.Job, id, title, post.Stop);
        if (why is not null) { post.Complain("family", why); return null; }
        post.Desk.Take(() => post.RecordAll(acts));
        return post.Here;
    }
}
