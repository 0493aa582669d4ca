using System.Net;
using System.Text;
using Bellwire.Counsel.Papers;

namespace Bellwire.Papers;

/// <summary>A paper as HTML: a fragment for a page, or a file that needs nothing beside itself.</summary>
public static class HtmlPaper
{
    /// <summary>One file: style, faces, drawings and photographs inside.</summary>
    /// <param name="pictures">A picture by its content hash, or null when it is not held.</param>
    public static string Whole(Paper paper, PaperSize size, Func<string, PaperPicture?> pictures, bool fonts = true)
    {
        ArgumentNullException.ThrowIfNull(paper);
        return $"""
            <!DOCTYPE html>
            <html lang="en"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width, initial-scale=1"><title>{E(paper.Title)}{(paper.Head.To is [var to, ..] ? " · " + E(to) : "")}</title>
            <style>{PaperCss.Of(size, fonts)}</style></head>
            <body>
            {Leaf(paper, pictures)}
            </body></html>
            """;
    }

    /// <summary>The paper alone, for a page whose style holds <see cref="PaperCss.Leaf"/>.</summary>
    public static string Leaf(Paper paper, Func<string, PaperPicture?> pictures)
    {
        ArgumentNullException.ThrowIfNull(paper);
        ArgumentNullException.ThrowIfNull(pictures);
        var html = new StringBuilder("<article class=\"leaf\"><div class=\"top\">");
        var h = paper.Head;
        if (!h.To.IsEmpty || !h.Shop.IsEmpty || h.Logo is not null) html.Append("<div class=\"to\">").Append(string.Join("<br>", h.To.Select((l, i) => i == 0 ? $"<b>{E(l)}</b>" : E(l)))).Append("</div>");
        if (!h.Shop.IsEmpty || h.Logo is not null) html.Append("<div class=\"shop\">");
        if (h.Logo is { } logo && pictures(logo) is { } mark) html.Append($"<img src=\"{mark.DataUri}\" alt=\"\">");
        if (!h.Shop.IsEmpty || h.Logo is not null) html.Append(string.Join("<br>", h.Shop.Select((l, i) => i == 0 ? $"<b>{E(l)}</b>" : E(l)))).Append("</div>");
        html.Append($"<header><h1>{E(paper.Title)}</h1><p class=\"about\">{E(h.About)}{(h.Day is { } day ? " · " + day.ToString("d MMMM yyyy", System.Globalization.CultureInfo.InvariantCulture) : "")}</p></header></div>");
        foreach (var block in paper.Blocks) Add(html, block, pictures);
        return html.Append($"<p class=\"end\">{E(paper.Foot)}</p></article>").ToString();
    }

    private static void Add(StringBuilder html, Block block, Func<string, PaperPicture?> pictures)
    {
        switch (block)
        {
            case Block.Heading b: html.Append($"<h2>{E(b.Text)}</h2>"); break;
            case Block.Words b: html.Append($"<p>{E(b.Text)}</p>"); break;
            case Block.Caution b: html.Append($"<p class=\"frame\">{E(b.Text)}</p>"); break;
            case Block.Points b:
                var list = b.Numbered ? "ol" : "ul";
                html.Append($"<{list}>").AppendJoin("", b.Items.Select(i => $"<li>{E(i)}</li>")).Append($"</{list}>");
                break;
            case Block.Table b: Table(html, b); break;
            case Block.HookUp b: html.Append($"<figure>{HookUpSvg.Of(b.Positions, b.Caption)}<figcaption>{E(b.Caption)}</figcaption></figure>"); break;
            case Block.Strips b: html.Append($"<figure>{StripsSvg.Of(b.Lines, b.Caption)}<figcaption>{E(b.Caption)}</figcaption></figure>"); break;
            case Block.Tags b: html.Append("<div class=\"tags\">").AppendJoin("", b.Items.Select(Tag)).Append("</div>"); break;
            case Block.Blanks b: html.Append("<div class=\"blanks\">").AppendJoin("", b.Labels.Select(l => $"<span>{E(l)}</span>")).Append("</div>"); break;
            case Block.Picture b when pictures(b.Hash) is { } picture:
                html.Append($"<figure><span class=\"pins\"><img src=\"{picture.DataUri}\" alt=\"{E(b.Caption)}\">{PinsSvg.Of(b.Pins)}</span><figcaption>{E(b.Caption)}</figcaption></figure>");
                break;
            case Block.Picture b: html.Append($"<p>[{E(b.Caption)}: the photograph is not held any more]</p>"); break;
        }
    }

    private static void Table(StringBuilder html, Block.Table b)
    {
        string Class(int i) => i < b.Columns.Length && b.Columns[i].Kind == ColumnKind.Number ? " class=\"num\"" : "";
        if (b.Columns.Any(c => c.Title.Length > 0))
            html.Append("<table><thead><tr>").AppendJoin("", b.Columns.Select((c, i) => $"<th scope=\"col\"{Class(i)}>{E(c.Title)}</th>")).Append("</tr></thead><tbody>");
        else html.Append("<table><tbody>");
        foreach (var row in b.Rows)
            html.Append("<tr>").AppendJoin("", row.Select((cell, i) => b.Columns[i].Kind switch
            {
                ColumnKind.Tick => "<td><span class=\"tick\"></span></td>",
                ColumnKind.Blank when cell.Length == 0 => "<td><span class=\"blank\"></span></td>",
                _ => $"<td{Class(i)}>{E(cell)}</td>",
            })).Append("</tr>");
        html.Append("</tbody>");
        if (!b.Foot.IsEmpty)
            html.Append("<tfoot>").AppendJoin("", b.Foot.Select(row => "<tr>" + string.Concat(row.Select((cell, i) => $"<td{Class(i)}>{E(cell)}</td>")) + "</tr>")).Append("</tfoot>");
        html.Append("</table>");
    }

    private static string Tag(Counsel.Papers.Tag tag)
    {
        var square = ScanSquare.Of(tag.Code);
        return $"<div class=\"tag\"><svg viewBox=\"0 0 {square.Side} {square.Side}\" role=\"img\" aria-label=\"Code of {E(tag.Code)}\"><path d=\"{square.Path}\"/></svg><div><b>{E(tag.Name)}</b>{string.Join("<br>", tag.Lines.Select(E))}</div></div>";
    }

    internal static string E(string text) => WebUtility.HtmlEncode(text);
}
