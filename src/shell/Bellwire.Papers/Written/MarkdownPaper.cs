using System.Collections.Immutable;
using System.Globalization;
using System.Text;
using Bellwire.Counsel.Papers;

namespace Bellwire.Papers;

/// <summary>A paper as Markdown: to publish, to paste into a message, to compare. Drawings and photographs become their captions and numbers.</summary>
public static class MarkdownPaper
{
    public static string Of(Paper paper)
    {
        ArgumentNullException.ThrowIfNull(paper);
        var text = new StringBuilder($"# {T(paper.Title)}\n\n");
        if (!paper.Head.Shop.IsEmpty) text.Append(string.Join(", ", paper.Head.Shop.Select(T))).Append("\n\n");
        if (!paper.Head.To.IsEmpty) text.Append("To: ").Append(string.Join(", ", paper.Head.To.Select(T))).Append("\n\n");
        text.Append(T(paper.Head.About)).Append(paper.Head.Day is { } day ? " · " + day.ToString("d MMMM yyyy", CultureInfo.InvariantCulture) : "").Append("\n\n");
        foreach (var block in paper.Blocks) text.Append(Of(block)).Append("\n\n");
        return text.Append($"*{T(paper.Foot)}*\n").ToString();
    }

    private static string Of(Block block) => block switch
    {
        Block.Heading b => "## " + T(b.Text),
        Block.Words b => T(b.Text),
        Block.Caution b => "> **Mind:** " + T(b.Text),
        Block.Points b => string.Join("\n", b.Items.Select((x, i) => b.Numbered ? $"{i + 1}. {T(x)}" : $"- {T(x)}")),
        Block.Table b => Table(b),
        Block.HookUp b => $"*{T(b.Caption)}*\n\n" + string.Join("\n", b.Positions.Select(p => $"- {T(p.Name)}: {(p.PieceName is null ? p.House ? "in the house" : "empty" : T(p.PieceName))}")),
        Block.Strips b => Table(new([new(""), new("Before", ColumnKind.Number), new("Now", ColumnKind.Number), new("Belongs")],
            [.. b.Lines.Select(l => ImmutableArray.Create(l.Label, N(l.Before, l.Unit), N(l.Now, l.Unit), $"{N(l.Low, "")} to {N(l.High, l.Unit)}"))], [])),
        Block.Picture b => $"*Photograph: {T(b.Caption)}*",
        Block.Tags b => string.Join("\n", b.Items.Select(t => $"- {T(t.Name)}: {string.Join(", ", t.Lines.Select(T))}")),
        Block.Blanks b => string.Join("\n", b.Labels.Select(l => $"{T(l)}: ____________\n")),
        _ => "",
    };

    private static string N(double? value, string unit) => value is { } v ? $"{v.ToString("0.###", CultureInfo.InvariantCulture)} {unit}".TrimEnd() : "–";

    private static string Table(Block.Table b)
    {
        static string Line(IEnumerable<string> cells) => "| " + string.Join(" | ", cells) + " |";
        IEnumerable<string> Cells(ImmutableArray<string> row) => row.Select((c, i) => i < b.Columns.Length && b.Columns[i].Kind == ColumnKind.Tick ? "[ ]" : T(c));
        return string.Join("\n", new[] { Line(b.Columns.Select(c => T(c.Title))), Line(b.Columns.Select(c => c.Kind == ColumnKind.Number ? "---:" : "---")) }
            .Concat(b.Rows.Select(r => Line(Cells(r)))).Concat(b.Foot.Select(r => Line(r.Select(c => c.Length == 0 ? "" : $"**{T(c)}**")))));
    }

    /// <summary>What would be read as a mark is only a letter here.</summary>
    private static string T(string text)
    {
        var plain = new StringBuilder(text.Length);
        foreach (var c in text.ReplaceLineEndings(" "))
        {
            if (c is '\\' or '*' or '_' or '|' or '`' or '[' or ']' or '#' or '<' or '>') plain.Append('\\');
            plain.Append(c);
        }
        return plain.ToString();
    }
}
