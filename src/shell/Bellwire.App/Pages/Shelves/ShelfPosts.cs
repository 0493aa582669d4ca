using System.Collections.Immutable;
using System.Globalization;
using Bellwire.App.Web;
using Bellwire.Workshop;

namespace Bellwire.App.Pages.Shelves;

/// <summary>The shop's own pieces.</summary>
internal static class ShelfPosts
{
    public static readonly Dictionary<string, PostAct> Acts = new() { ["piece"] = Piece, ["mule"] = Mule };

    private static Task<string?> Piece(Post post)
    {
        var name = post.Need("name", "Say what it is.");
        var kind = post.Need("kind", "Say its kind, so that it can be offered where it fits.");
        post.StopIfWrong();
        double? trust = post.Typed.Has("trust") ? double.Parse(post["trust"], CultureInfo.InvariantCulture) : null;
        post.Record(new PieceRecorded(Post.NewName("shop-"), kind, name, Party.Shop, null, post.Typed.Maybe("place") ?? "shelf", post.Typed.Maybe("marks"), null, trust >= 0.9, trust));
        return Task.FromResult<string?>("/shelf");
    }

    private static Task<string?> Mule(Post post)
    {
        var pieces = post.Typed.Under("at-").ToImmutableDictionary(p => p.Key, p => p.Value);
        foreach (var twice in pieces.GroupBy(p => p.Value).Where(g => g.Count() > 1))
            foreach (var (position, piece) in twice) post.Complain("at-" + position, $"{post.Desk.PieceName(piece)} cannot sit in two places.");
        post.Record(new SystemSetUp(Post.NewName("mule-"), null, post.Need("sheet", "Say of which family."), pieces));
        return Task.FromResult<string?>("/shelf");
    }
}
