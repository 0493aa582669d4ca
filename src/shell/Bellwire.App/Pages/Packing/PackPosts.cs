using Bellwire.App.Web;
using Bellwire.Workshop;

namespace Bellwire.App.Pages.Packing;

/// <summary>The ledger adds up before the carton closes.</summary>
internal static class PackPosts
{
    public static readonly Dictionary<string, PostAct> Acts = new()
    {
        ["pack"] = Pack, ["packall"] = PackAll, ["return"] = Return, ["hardware"] = Hardware, ["close"] = Close, ["end"] = End,
    };

    private static Task<string?> Pack(Post post)
    {
        post.Record(new PackedPiece(post.Job, post.Need("piece", "Say which piece.")));
        return Task.FromResult<string?>(post.Here);
    }

    private static Task<string?> PackAll(Post post)
    {
        post.RecordAll([.. post.Desk.MustPack(post.Job).Where(p => !p.Packed).Select(p => new PackedPiece(post.Job, p.Id))]);
        return Task.FromResult<string?>(post.Here);
    }

    private static Task<string?> Return(Post post)
    {
        var id = post.Need("piece", "Say which piece.");
        post.StopIfWrong();
        var piece = post.Desk.State.Pieces.GetValueOrDefault(id);
        if (piece?.Where is { System: { } system, Position: { } position }) post.Record(new Pulled(post.Job, id, system, position, "on the bench"));
        post.RecordAll([new Returned(id, post.Typed.Maybe("place") ?? "shelf"), .. post.Desk.HandOn(post.Job, id) is { } trust ? new Act[] { trust } : []]);
        return Task.FromResult<string?>(post.Here);
    }

    private static Task<string?> Hardware(Post post)
    {
        var acts = new List<PackedHardware>();
        foreach (var item in post.Desk.Job(post.Job).Hardware.Values)
        {
            var count = post.Typed.Has($"count-{item.Item}") ? post.Whole($"count-{item.Item}", 0, 999, "The count") : post.Typed.Has("same") ? item.Came : null;
            if (count is null) continue;
            var why = post.Typed.Maybe($"why-{item.Item}");
            if (count != item.Came && why is null) post.Complain($"why-{item.Item}", $"{item.Came} came and {count} go back: say why.");
            if (count != item.Packed || why != item.Reason) acts.Add(new(post.Job, item.Item, count.Value, why));
        }
        post.StopIfWrong();
        post.RecordAll(acts);
        return Task.FromResult<string?>(post.Here);
    }

    private static Task<string?> Close(Post post)
    {
        post.Record(new CartonClosed(post.Job, post.Override));
        return Task.FromResult<string?>(post.Here);
    }

    private static Task<string?> End(Post post)
    {
        post.Record(new JobClosed(post.Job, post.Need("ending", "Say how it ended."), post.Override));
        return Task.FromResult<string?>("/");
    }
}
