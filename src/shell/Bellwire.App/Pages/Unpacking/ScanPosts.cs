using Bellwire.App.Web;

namespace Bellwire.App.Pages.Unpacking;

/// <summary>A scanned label opens its piece, or logs that it was fitted or pulled.</summary>
internal static class ScanPosts
{
    public static readonly Dictionary<string, PostAct> Acts = new() { ["scan"] = Scan };

    private static Task<string?> Scan(Post post)
    {
        var desk = post.Desk;
        var code = post.Need("code", "Scan a label first.");
        post.StopIfWrong();
        if (!desk.State.Pieces.TryGetValue(code, out var piece)) post.Complain("code", $"No piece has the label “{code}”.");
        post.StopIfWrong();
        if (post["do"] is not ("fit" or "pull")) return Task.FromResult<string?>(desk.AddressOf(piece!));
        var system = desk.SystemOf(post.Job);
        if (system is null) { post.Typed.Refusal = Bellwire.Workshop.Law.NotOnTheBench; return Task.FromResult<string?>(null); }
        if (post["do"] == "pull")
        {
            if (piece!.Where.System != system.Id) post.Complain("code", $"{piece.Name} does not sit in this set; it is {desk.WhereWord(piece)}.");
            post.StopIfWrong();
            post.Record(new Bellwire.Workshop.Pulled(post.Job, code, system.Id, piece.Where.Position!, post.Typed.Maybe("place") ?? "on the bench"));
            return Task.FromResult<string?>(post.Here);
        }
        // Its own place first, then the only place of its kind, then the only empty one.
        var fits = desk.SheetOf(post.Job).Positions.Where(p => p.Kind == piece!.Kind).ToList();
        var own = fits.Where(p => code == $"{post.Job}-{p.Id}").ToList();
        var empty = fits.Where(p => !system.Pieces.ContainsKey(p.Id)).ToList();
        var place = own.Count == 1 ? own[0] : fits.Count == 1 ? fits[0] : empty.Count == 1 ? empty[0] : null;
        if (place is null) { post.Typed.Refusal = fits.Count == 0 ? $"The sheet has no place for a piece of the kind “{piece!.Kind}”." : $"It could go into {string.Join(", ", fits.Select(f => f.Name))}. Fit it on the bench’s drawing."; return Task.FromResult<string?>(null); }
        post.RecordAll(desk.SwapActs(post.Job, system.Id, place.Id, code, post.Override));
        return Task.FromResult<string?>(post.Here);
    }
}
