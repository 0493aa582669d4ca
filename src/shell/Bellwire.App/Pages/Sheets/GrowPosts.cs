using Bellwire.App.Web;

namespace Bellwire.App.Pages.Sheets;

/// <summary>Named on a tape, taken into the family's sheet.</summary>
internal static class GrowPosts
{
    public static readonly Dictionary<string, PostAct> Acts = new() { ["grow"] = post => Take(post, one: true), ["all"] = post => Take(post, one: false), ["family"] = Family };

    private static async Task<string?> Take(Post post, bool one)
    {
        var what = post.Desk.Promotables(post.Job).Where(p => !one || $"{p.What}/{p.Name}" == post["key"]).ToList();
        if (what.Count == 0) { post.Typed.Refusal = "The sheet has it already."; return null; }
        var (acts, why) = await post.Desk.Grow(post.Job, what, post.Stop);
        if (why is not null) { post.Typed.Refusal = why; return null; }
        post.Desk.Take(() => post.RecordAll(acts));
        return post.Here;
    }

    private static async Task<string?> Family(Post post)
    {
        var (id, title) = (post.Need("id", "A short name, such as lower-lane."), post.Need("title", "What it is called."));
        post.StopIfWrong();
        var (acts, why) = await post.Desk.BeginFamily(post.Job, id, title, post.Stop);
        if (why is not null) { post.Complain("id", why); return null; }
        post.Desk.Take(() => post.RecordAll(acts));
        return post.Here;
    }
}
