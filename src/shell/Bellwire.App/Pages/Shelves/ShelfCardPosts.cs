using System.Collections.Immutable;
using System.Globalization;
using Bellwire.App.Web;
using Bellwire.Workshop;

namespace Bellwire.App.Pages.Shelves;

/// <summary>Origin, revision, reservation, proof and donors.</summary>
internal static class ShelfCardPosts
{
    public static readonly Dictionary<string, PostAct> Acts = new(ShelfPosts.Acts)
    {
        ["card"] = Card, ["reserve"] = Reserve, ["proved"] = Proved, ["donor"] = Donor, ["takeout"] = TakeOut,
    };

    private static Task<string?> Card(Post post)
    {
        var piece = post.Need("piece", "Say which piece.");
        var acts = new List<Act>();
        if (post.Typed.Maybe("origin") is { } origin) acts.Add(new OriginNoted(piece, origin, origin == "donor" ? post.Typed.Maybe("donor") : null));
        if (post.Typed.Maybe("revision") is { } revision) acts.Add(new RevisionNoted(piece, revision, [.. post["fits"].Split([',', ' '], StringSplitOptions.RemoveEmptyEntries)]));
        if (acts.Count == 0) post.Complain("revision", "Say where it comes from, or its letter.");
        post.RecordAll(acts);
        return Task.FromResult<string?>("/shelf");
    }

    private static Task<string?> Reserve(Post post)
    {
        post.Record(new Reserved(post.Need("piece", "Say which piece."), post.Typed.Maybe("for"), post.Typed.Maybe("why")));
        return Task.FromResult<string?>("/shelf");
    }

    private static Task<string?> Proved(Post post)
    {
        var id = post.Need("piece", "Say which piece.");
        var trust = post.Number("trust", 0, 1, "The trust");
        if (trust is null) post.Complain("trust", "Say how sure.");
        post.StopIfWrong();
        var known = post.Desk.State.Pieces.GetValueOrDefault(id);
        post.Record(new TrustHandedOn(id, null, known?.Trust ?? (known?.KnownGood == true ? 0.97 : 0.5), trust!.Value, "proved"));
        return Task.FromResult<string?>("/shelf");
    }

    private static Task<string?> Donor(Post post)
    {
        var name = post.Need("name", "Say what it is.");
        var sheet = post.Desk.Sheets.FirstOrDefault(s => s.Id == post["sheet"]);
        if (sheet is null) post.Complain("sheet", "Say of which family.");
        post.StopIfWrong();
        var contents = sheet!.Positions.Where(p => p.TravelsByPost && !p.House).ToImmutableDictionary(p => p.Id, p => p.Kind);
        post.Record(new DonorKept(Post.NewName("donor-"), name, sheet.Id, post.Typed.Maybe("place") ?? Places.Shelf, contents));
        return Task.FromResult<string?>("/shelf#donors");
    }

    private static Task<string?> TakeOut(Post post)
    {
        var position = post.Need("position", "Say what comes out.");
        if (post.Desk.State.Donors.GetValueOrDefault(post["donor"]) is not { } donor || !donor.Left.TryGetValue(position, out var kind))
        {
            post.Complain("position", "That is not in it any more.");
            return Task.FromResult<string?>(null);
        }
        var name = post.Desk.Sheets.FirstOrDefault(s => s.Id == donor.SheetId)?.Positions.FirstOrDefault(p => p.Id == position)?.Name ?? position;
        var id = Post.NewName("shop-");
        post.RecordAll([new PieceRecorded(id, kind, $"{name} out of {donor.Name}", Party.Shop, null, Places.Shelf, null, "not tried"), new TakenOut(donor.Id, position, id)]);
        return Task.FromResult<string?>("/shelf#donors");
    }
}
