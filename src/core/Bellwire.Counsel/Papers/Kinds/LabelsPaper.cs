using System.Collections.Immutable;
using Bellwire.Workshop;

namespace Bellwire.Counsel.Papers;

/// <summary>Labels: one tag for every piece that came, with a code to scan.</summary>
internal sealed record LabelsPaper() : PaperKind("labels", "Labels", "One tag for every piece, with a code to scan: it opens the piece at the bench.", 10)
{
    public override Paper Compose(PaperFacts f) => f.Write(Id, Title, f.Letter(),
        [f.Pieces.IsEmpty ? Say.Words("Nothing has come yet.") : new Block.Tags([.. f.Pieces.Select(p => new Tag(p.Name, [f.Owner, .. p.Marks is { Length: > 0 } m ? [m] : Array.Empty<string>(), p.Id], p.Id))])]);
}

/// <summary>Labels of the shelf: the shop's own pieces, belonging to no job.</summary>
public static class ShelfLabels
{
    public const string Id = "shelf";

    /// <param name="only">One piece, or null for all that lie on a shelf.</param>
    public static Paper Compose(ShopState state, string? only)
    {
        ArgumentNullException.ThrowIfNull(state);
        var pieces = state.Pieces.Values.Where(p => p.Owner == Party.Shop && !p.Gone && (only is null ? p.Where.System is null : p.Id == only))
            .OrderBy(p => p.Where.Place, StringComparer.Ordinal).ThenBy(p => p.Id, StringComparer.Ordinal);
        return new(Id, "Shelf labels", new(PaperFacts.ShopLines(state.Details), null, [], "The shop’s own", null),
            [new Block.Tags([.. pieces.Select(p => new Tag(p.Name, [.. new[] { $"the shop’s own, {p.Where.Place}", Trust(p), p.Marks, p.Id }.OfType<string>().Where(l => l.Length > 0)], p.Id))])],
            $"Shelf as of entry {state.Head}.");
    }

    private static string Trust(PieceState p) => p.Trust is { } t ? $"good: {Quantities.Words.Band(t)}" : p.KnownGood ? "known good" : "not proved";
}
