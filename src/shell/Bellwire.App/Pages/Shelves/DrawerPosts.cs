using System.Collections.Immutable;
using Bellwire.App.Web;
using Bellwire.Counsel.Mends;
using Bellwire.Workshop;

namespace Bellwire.App.Pages.Shelves;

/// <summary>The drawer of parts: laid in, counted.</summary>
internal static class DrawerPosts
{
    public static readonly Dictionary<string, PostAct> Acts = new() { ["shelve"] = Shelve, ["count"] = Count };

    private static Task<string?> Shelve(Post post)
    {
        if (Calculation.Of(post["rule"]) is not MendRule rule) { post.Complain("name", "Choose the kind of part first."); throw new StopPost(); }
        var (given, wrong) = Given.Read(rule.NewPart.Select(a => a with { Required = false }), id => post.Typed.Maybe("a-" + id));
        foreach (var (field, words) in wrong) post.Complain("a-" + field, words);
        var count = post.Whole("count", 0, 10_000, "How many");
        var name = post.Typed.Maybe("name") ?? given.Said(rule.NewPart);
        if (name.Length == 0) post.Complain("name", "Type its name, or at least one of its markings.");
        post.StopIfWrong();
        var values = post.Typed.Under("a-").ToImmutableDictionary(v => v.Key, v => v.Value);
        post.Record(new PartShelved(Post.NewName("part-"), rule.Id, name, values, count ?? 1, post.Typed.Maybe("place") ?? "drawer", post.Typed.Maybe("origin")));
        return Task.FromResult<string?>("/shelf/parts");
    }

    private static Task<string?> Count(Post post)
    {
        var count = post.Whole("count", 0, 10_000, "How many");
        if (count is null && !post.Typed.Failed) post.Complain("count", "Type how many are left.");
        post.StopIfWrong();
        post.Record(new PartCounted(post.Need("part", "Say which part."), count!.Value));
        return Task.FromResult<string?>("/shelf/parts");
    }
}
