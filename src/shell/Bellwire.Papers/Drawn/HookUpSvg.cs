using System.Collections.Immutable;
using System.Globalization;
using System.Text;
using Bellwire.Counsel;

namespace Bellwire.Papers;

/// <summary>The hook-up drawn for paper: one box a position, what stays in the house dotted, the shop's own dashed and named so.</summary>
internal static class HookUpSvg
{
    private const int StepAcross = 150, StepDown = 66, Wide = 122, High = 46;

    public static string Of(ImmutableArray<PositionView> positions, string label)
    {
        if (positions.IsEmpty) return "";
        // Down the page when the sheet's drawing is wider than it is high: a paper is.
        var turned = positions.Select(p => p.X).Distinct().Count() > positions.Select(p => p.Y).Distinct().Count();
        var across = Rank(positions.Select(p => turned ? p.Y : p.X));
        var down = Rank(positions.Select(p => turned ? p.X : p.Y));
        double Left(PositionView p) => across[turned ? p.Y : p.X] * StepAcross + 3;
        double Top(PositionView p) => down[turned ? p.X : p.Y] * StepDown + 9;
        var at = positions.ToDictionary(p => p.Position);
        var svg = new StringBuilder(Put($"<svg class=\"drawn\" viewBox=\"0 0 {across.Count * StepAcross - 22} {down.Count * StepDown - 4}\" role=\"img\" aria-label=\"{HtmlPaper.E(label)}\">"));
        foreach (var from in positions)
            foreach (var to in from.FeedsTo.Where(at.ContainsKey).Select(id => at[id]))
            {
                double fx = Left(from), fy = Top(from), tx = Left(to), ty = Top(to), half = Wide / 2.0, middle = High / 2.0;
                var wire = turned ? ty > fy ? Put($"M{fx + half} {fy + High}C{fx + half} {fy + High + 12} {tx + half} {ty - 12} {tx + half} {ty}")
                        : tx > fx ? Put($"M{fx + Wide} {fy + middle}L{tx} {ty + middle}") : Put($"M{fx} {fy + middle}L{tx + Wide} {ty + middle}")
                    : tx > fx ? Put($"M{fx + Wide} {fy + middle}C{fx + Wide + 16} {fy + middle} {tx - 16} {ty + middle} {tx} {ty + middle}")
                        : ty > fy ? Put($"M{fx + half} {fy + High}L{tx + half} {ty}") : Put($"M{fx + half} {fy}L{tx + half} {ty + High}");
                svg.Append(Put($"<path d=\"{wire}\" fill=\"none\" stroke=\"#777\" stroke-width=\"1.2\"/>"));
            }
        foreach (var p in positions)
        {
            var dash = p.ShopPiece ? " stroke-dasharray=\"8 3\" stroke-width=\"2.6\"" : p.House ? " stroke-dasharray=\"2 3\"" : p.Piece is null ? " stroke-dasharray=\"6 5\"" : "";
            svg.Append(Put($"<rect x=\"{Left(p)}\" y=\"{Top(p)}\" width=\"{Wide}\" height=\"{High}\" rx=\"2\" fill=\"#fff\" stroke=\"#000\" stroke-width=\"1.2\"{dash}/>"));
            var lines = Wrap(p.Name);
            for (var i = 0; i < lines.Count; i++) svg.Append(Put($"<text x=\"{Left(p) + 7}\" y=\"{Top(p) + 17 + i * 14}\" font-size=\"12.5\" font-weight=\"700\">{HtmlPaper.E(lines[i])}</text>"));
            var sub = p.ShopPiece ? "the shop’s own" : p.House ? "in the house" : p.PieceName is null ? "empty" : p.Piece!.StartsWith("bench:", StringComparison.Ordinal) ? "stayed at home" : "";
            if (lines.Count == 1 && sub.Length > 0) svg.Append(Put($"<text x=\"{Left(p) + 7}\" y=\"{Top(p) + 33}\" font-size=\"11\">{sub}</text>"));
        }
        return svg.Append("</svg>").ToString();
    }

    private static string Put(FormattableString text) => text.ToString(CultureInfo.InvariantCulture);

    /// <summary>Empty columns and rows of the sheet's grid take no room.</summary>
    private static Dictionary<int, int> Rank(IEnumerable<int> places) => places.Distinct().Order().Select((place, rank) => (place, rank)).ToDictionary(p => p.place, p => p.rank);

    private static List<string> Wrap(string name)
    {
        if (name.Length <= 19) return [name];
        var cut = name.LastIndexOf(' ', 19);
        if (cut < 4) return [name[..18] + "…"];
        var rest = name[(cut + 1)..];
        return [name[..cut], rest.Length <= 19 ? rest : rest[..18] + "…"];
    }
}
