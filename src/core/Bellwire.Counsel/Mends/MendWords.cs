using Bellwire.Sheets;
using Bellwire.Workshop;

namespace Bellwire.Counsel.Mends;

/// <summary>What was put right, as the tape says it: an entry of a piece gone through as a whole says which of its places it stands for.</summary>
public static class MendWords
{
    public const string GoneThrough = "gone through";
    public const string Cleaned = "cleaned";

    internal static string Of(ShopState state, TypeSheet? sheet, Mended mended)
    {
        if (mended.What is not (GoneThrough or Cleaned)) return mended.What;
        var sites = mended.Piece is { } piece ? sheet?.Family.Kinds.FirstOrDefault(k => k.Id == state.Pieces.GetValueOrDefault(piece)?.Kind)?.Sites
            : sheet?.Family.Positions.FirstOrDefault(p => p.Id == mended.Position)?.Sites;
        var site = sites?.FirstOrDefault(s => s.Id == mended.Site)?.Name ?? mended.Site;
        return $"{(mended.Site == "other" ? "what else there is" : site)} {mended.What}";
    }
}
