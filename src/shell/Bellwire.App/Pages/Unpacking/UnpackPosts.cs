using System.Collections.Immutable;
using Bellwire.App.Web;
using Bellwire.Workshop;

namespace Bellwire.App.Pages.Unpacking;

/// <summary>What came out of the carton, down to the screws.</summary>
internal static class UnpackPosts
{
    public static readonly Dictionary<string, PostAct> Acts = new()
    {
        ["pieces"] = Pieces, ["piece"] = Piece, ["hardware"] = Hardware, ["photo"] = CommonPosts.Photo,
    };

    private static Task<string?> Pieces(Post post)
    {
        var desk = post.Desk;
        var came = ImmutableDictionary.CreateBuilder<string, string>();
        var some = false;
        foreach (var position in desk.StillToUnpack(post.Job))
        {
            var answer = post.Typed.Maybe($"came-{position.Id}") ?? post.Typed.Maybe("rest");
            if (answer is null) continue;
            some = true;
            if (answer == "missing")
            {
                if (desk.Job(post.Job).Missing.All(m => m.Position != position.Id)) post.Record(new PieceMissing(post.Job, position.Kind, position.Name, position.Id));
                continue;
            }
            var piece = $"{post.Job}-{position.Id}";
            var looks = post.Typed.Maybe($"looks-{position.Id}");
            if (answer == "damaged") looks = looks is null ? "damaged" : "damaged: " + looks;
            post.Record(new PieceRecorded(piece, position.Kind, position.Name, Party.OwnerOf(post.Job), post.Job, "on the bench", post.Typed.Maybe($"marks-{position.Id}"), looks));
            came[position.Id] = piece;
        }
        if (!some)
        {
            post.Typed.Refusal = "Touch what came, or tick “All others came”.";
            return Task.FromResult<string?>(null);
        }
        if (came.Count > 0) desk.StandUp(post, came.ToImmutable());
        return Task.FromResult<string?>(post.Here);
    }

    private static Task<string?> Piece(Post post)
    {
        var name = post.Need("name", "Say what it is.");
        post.StopIfWrong();
        post.Record(new PieceRecorded(Post.NewName(post.Job + "-"), "other", name, Party.OwnerOf(post.Job), post.Job, "on the bench", post.Typed.Maybe("marks"), post.Typed.Maybe("looks")));
        return Task.FromResult<string?>(post.Here);
    }

    private static Task<string?> Hardware(Post post)
    {
        var counted = post.Desk.Job(post.Job).Hardware;
        var known = post.Desk.SheetOf(post.Job).Hardware;
        var counts = new List<HardwareCounted>();
        foreach (var (item, _) in post.Typed.Under("count-"))
        {
            if (post.Whole($"count-{item}", 0, 999, "The count") is { } came && counted.GetValueOrDefault(item)?.Came != came)
                counts.Add(new(post.Job, item, came, known.FirstOrDefault(k => k.Id == item)?.Count, null));
        }
        if (post.Typed.Has("complete"))
            counts.AddRange(from k in known where !counted.ContainsKey(k.Id) && !post.Typed.Has($"count-{k.Id}") select new HardwareCounted(post.Job, k.Id, k.Count, k.Count, null));
        if (post.Typed.Maybe("newitem") is { } item2)
        {
            if (post.Whole("newcount", 0, 999, "The count") is { } came) counts.Add(new(post.Job, item2, came, null, null));
            else post.Complain("newcount", "How many came?");
        }
        post.StopIfWrong();
        foreach (var count in counts) post.Record(count);
        return Task.FromResult<string?>(post.Here);
    }
}
