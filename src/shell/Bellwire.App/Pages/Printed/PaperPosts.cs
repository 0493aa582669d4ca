using Bellwire.App.Web;
using Bellwire.Papers;
using Bellwire.Workshop;

namespace Bellwire.App.Pages.Printed;

/// <summary>A paper goes out; the shop says what stands on papers; the owner's address is kept.</summary>
internal static class PaperPosts
{
    public static readonly Dictionary<string, PostAct> Sending = new() { ["send"] = Send };
    public static readonly Dictionary<string, PostAct> Owner = new() { ["owner"] = KeepOwner };
    public static readonly Dictionary<string, PostAct> Shop = new() { ["shop"] = KeepShop, ["logo"] = Logo };

    private static async Task<string?> Send(Post post)
    {
        var paper = post.Desk.PaperOf(post.Job, post.Route("kind"));
        if (paper is null) { post.Typed.Refusal = "There is no paper of that name."; return null; }
        var sent = await post.Desk.Send(post.Job, paper, post["size"] == "letter" ? PaperSize.Letter : PaperSize.A4, post.Typed.Maybe("channel") ?? "mail", post.Stop);
        post.Record(sent);
        return $"/job/{post.Job}/papers#sent";
    }

    private static Task<string?> KeepOwner(Post post)
    {
        var known = post.Desk.Job(post.Job).OwnerDetails;
        foreach (var item in ShopDetails.OwnerItems)
        {
            var before = known.TryGetValue(item, out var words) ? post.Desk.Text(words) : "";
            if (post[item] == before) continue;
            var kept = (Ref: new Personal($"{(post.Typed.Has("id") ? post["id"] : Guid.NewGuid().ToString("N"))}-{item}"), Text: post[item]);
            post.Record(new OwnerDetail(post.Job, item, kept.Ref), kept);
        }
        return Task.FromResult<string?>(post.Here);
    }

    private static Task<string?> KeepShop(Post post)
    {
        var acts = new List<ShopDetailSet>();
        foreach (var item in ShopDetails.Items.Where(i => i != "logo"))
        {
            var value = item == "currency" ? post[item].ToUpperInvariant() : item is "tax-percent" or "hourly-rate" ? post[item].Replace(',', '.') : post[item].ReplaceLineEndings("\n");
            if (ShopDetails.Complaint(item, value) is { } wrong) post.Complain(item, wrong);
            if (value != (post.Desk.State.Details.Said.GetValueOrDefault(item) ?? "")) acts.Add(new(item, value));
        }
        post.StopIfWrong();
        post.RecordAll(acts);
        return Task.FromResult<string?>("/shop");
    }

    private static async Task<string?> Logo(Post post)
    {
        if (post.Files.FirstOrDefault(f => f.Length > 0) is not { } file) { post.Complain("photo", "Choose a picture first."); return null; }
        await using var stream = file.OpenReadStream();
        var kept = await post.Desk.Keep(stream, post.Stop);
        if (kept.Refusal is { } refusal) { post.Complain("photo", refusal); return null; }
        post.Record(new ShopDetailSet("logo", kept.Hash!));
        return "/shop";
    }
}
