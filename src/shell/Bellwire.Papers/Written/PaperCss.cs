using System.Reflection;

namespace Bellwire.Papers;

/// <summary>The look of every paper: black on white, one book face for heads, tables that repeat their heads, page x of y.</summary>
public static class PaperCss
{
    /// <summary>Styles of what stands inside <c>.leaf</c>; the page's own frame is not touched.</summary>
    public const string Leaf = """
        .leaf { background: #fff; color: #000; font: 400 10.5pt/1.42 "Bench Sans", "Gill Sans", "Trebuchet MS", sans-serif; font-variant-numeric: lining-nums tabular-nums; overflow-wrap: break-word; }
        .leaf * { box-sizing: border-box; }
        .leaf h1 { font: 700 20pt/1.15 "Bench Book", Georgia, serif; margin: 0; } .leaf h2 { font: 700 12.5pt/1.2 "Bench Book", Georgia, serif; margin: 1.1em 0 .3em; break-after: avoid; }
        .leaf p { margin: .35em 0; max-width: none; } .leaf ul, .leaf ol { margin: .3em 0; padding-left: 1.35em; } .leaf li { margin: .12em 0; }
        .leaf table { border-collapse: collapse; width: 100%; margin: .3em 0 .5em; } .leaf thead { display: table-header-group; position: static; }
        .leaf th { text-align: left; font-weight: 700; font-size: 9pt; color: #333; vertical-align: bottom; } .leaf th, .leaf td { padding: .22em .7em .22em 0; border-bottom: .6px solid #999; vertical-align: top; }
        .leaf th:last-child, .leaf td:last-child { padding-right: 0; } .leaf .num { text-align: right; white-space: nowrap; } .leaf td.num + td:not(.num), .leaf th.num + th:not(.num) { padding-left: .9em; }
        .leaf tfoot { display: table-row-group; } .leaf tfoot td { font-weight: 700; } .leaf tr, .leaf figure, .leaf .tag, .leaf .frame { break-inside: avoid; }
        .leaf .top { display: grid; grid-template-columns: 1fr auto; gap: .3em 2em; margin-bottom: 1.1em; align-items: start; } .leaf .shop { text-align: right; font-size: 9.5pt; color: #222; } .leaf .shop img { display: block; margin: 0 0 .4em auto; max-height: 16mm; max-width: 50mm; }
        .leaf .shop b { font-size: 11.5pt; color: #000; } .leaf .to { min-height: 3.2em; } .leaf .about { color: #333; margin: .2em 0 0; } .leaf .top > header { grid-column: 1 / -1; border-bottom: 1.2px solid #000; padding-bottom: .4em; display: flex; flex-wrap: wrap; gap: .1em 1.2em; align-items: baseline; justify-content: space-between; }
        .leaf .frame, .leaf .blanks { break-before: avoid; } .leaf .frame { border: 1.6px solid #000; padding: .45em .7em; margin: .6em 0; } .leaf .tick { display: inline-block; width: 1em; height: 1em; border: 1.3px solid #000; vertical-align: -.15em; }
        .leaf .blank { display: inline-block; width: 100%; min-width: 5em; border-bottom: 1px solid #000; height: 1.1em; } .leaf .blanks { display: grid; grid-template-columns: repeat(auto-fit, minmax(9em, 1fr)); gap: .9em 1.6em; margin: 1.6em 0 .6em; break-inside: avoid; } .leaf .blanks span { border-top: 1px solid #000; padding-top: .15em; font-size: 9pt; color: #333; margin-top: 1.2em; }
        .leaf figure { margin: .7em 0; } .leaf figcaption { font-size: 9pt; color: #333; margin-top: .25em; } .leaf figure img { max-width: 100%; max-height: 95mm; display: block; } .leaf .pins { position: relative; display: inline-block; } .leaf .pins svg { position: absolute; inset: 0; width: 100%; height: 100%; }
        .leaf svg text { font-family: "Bench Sans", "Gill Sans", sans-serif; fill: #000; } .leaf .drawn { width: 100%; height: auto; display: block; }
        .leaf .tags { display: grid; grid-template-columns: repeat(auto-fill, minmax(62mm, 1fr)); gap: 4mm; } .leaf .tag { display: grid; grid-template-columns: 22mm 1fr; gap: 3mm; border: 1px dashed #555; padding: 2mm; align-items: center; font-size: 9.5pt; line-height: 1.25; } .leaf .tag svg { width: 22mm; height: 22mm; display: block; } .leaf .tag b { display: block; font-size: 11pt; }
        .leaf .end { margin-top: .9em; break-before: avoid; font-size: 8.5pt; color: #444; border-top: .6px solid #999; padding-top: .3em; }
        @media (max-width: 40rem) { .leaf { overflow-x: auto; } .leaf .top { grid-template-columns: 1fr; } .leaf .shop { text-align: left; } .leaf .shop img { margin-left: 0; } }
        """;

    /// <summary>The whole style of a paper that stands by itself.</summary>
    public static string Of(PaperSize size, bool fonts) => $$"""
        {{(fonts ? Faces.Value : "")}}
        @page { size: {{(size == PaperSize.A4 ? "A4" : "letter")}}; margin: 18mm 17mm 18mm; @bottom-center { content: "page " counter(page) " of " counter(pages); font: 8.5pt "Bench Sans", sans-serif; } }
        html { background: #fff; } body { margin: 0; }
        @media screen { body { max-width: 46rem; margin: 0 auto; padding: 1.5rem; } }
        {{Leaf}}
        """;

    private static readonly Lazy<string> Faces = new(() => string.Join("\n",
        Face("Bench Sans", 400, "alegreya-sans-latin-400-normal", "U+0000-02FF, U+2000-214F, U+2190-22FF"), Face("Bench Sans", 700, "alegreya-sans-latin-700-normal", "U+0000-02FF, U+2000-214F, U+2190-22FF"),
        Face("Bench Sans", 400, "alegreya-sans-greek-400-normal", "U+0370-03FF"), Face("Bench Book", 700, "alegreya-latin-700-normal", "U+0000-02FF, U+2000-214F")));

    private static string Face(string name, int weight, string file, string range)
    {
        using var from = Assembly.GetExecutingAssembly().GetManifestResourceStream(file + ".woff2") ?? throw new InvalidOperationException($"The face {file} is not in the program.");
        using var bytes = new MemoryStream();
        from.CopyTo(bytes);
        return $"@font-face {{ font-family: \"{name}\"; font-weight: {weight}; src: url(data:font/woff2;base64,{Convert.ToBase64String(bytes.ToArray())}) format(\"woff2\"); unicode-range: {range}; }}";
    }
}
