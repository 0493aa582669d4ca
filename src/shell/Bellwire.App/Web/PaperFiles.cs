using System.Security.Cryptography;
using System.Text;
using Bellwire.App.Desks;
using Bellwire.Papers;

namespace Bellwire.App.Web;

/// <summary>Papers as files, papers as they were sent, the style they share, and the shop's logo.</summary>
internal static class PaperFiles
{
    public static void Map(WebApplication app)
    {
        app.MapGet("/paper.css", (string? size) => Results.Text(
            $"@page {{ size: {(size == "letter" ? "letter" : "A4")}; margin: 18mm 17mm 18mm; }}\n{PaperCss.Leaf}", "text/css"));
        app.MapGet("/shop/logo", (Desk desk) => desk.State.Details["logo"] is { } hash && desk.Picture(hash) is { } logo ? Results.Bytes(logo.Bytes, logo.MediaType) : Results.NotFound());
        app.MapGet("/job/{job}/papers/{kind}/file", File);
        app.MapGet("/job/{job}/sent/{hash}", Sent);
    }

    private static async Task<IResult> File(string job, string kind, string? @as, string? size, Desk desk, HttpContext context)
    {
        if (!desk.Knows(job) || desk.PaperOf(job, kind) is not { } paper) return Results.NotFound();
        var sheet = size == "letter" ? PaperSize.Letter : PaperSize.A4;
        if (@as == "md") return Results.File(Encoding.UTF8.GetBytes(MarkdownPaper.Of(paper)), "text/markdown; charset=utf-8", $"{job}-{kind}.md");
        var html = desk.HtmlOf(paper, sheet);
        if (@as != "pdf") return Results.File(Encoding.UTF8.GetBytes(html), "text/html; charset=utf-8", $"{job}-{kind}.html");
        if (PdfBrowser.Find() is not { } browser) return Results.Text(PdfBrowser.HowToGet, statusCode: StatusCodes.Status501NotImplemented);
        var file = Path.GetTempFileName();
        try
        {
            await PdfBrowser.Print(browser, html, file, context.RequestAborted);
            return Results.File(await System.IO.File.ReadAllBytesAsync(file, context.RequestAborted), "application/pdf", $"{job}-{kind}.pdf");
        }
        catch (IOException e) { return Results.Text(e.Message, statusCode: StatusCodes.Status500InternalServerError); }
        finally { System.IO.File.Delete(file); }
    }

    /// <summary>The kept bytes, under a policy that lets in the paper's own style and pictures and nothing else.</summary>
    private static IResult Sent(string job, string hash, Desk desk, HttpContext context)
    {
        if (!desk.Knows(job) || desk.SentPapers(job).All(s => s.Paper.ContentHash != hash) || desk.Photo(hash) is not { } kept) return Results.NotFound();
        using var reader = new StreamReader(kept, Encoding.UTF8);
        var html = reader.ReadToEnd();
        int from = html.IndexOf("<style>", StringComparison.Ordinal) + 7, to = html.IndexOf("</style>", StringComparison.Ordinal);
        var style = from >= 7 && to > from ? $"'sha256-{Convert.ToBase64String(SHA256.HashData(Encoding.UTF8.GetBytes(html[from..to])))}'" : "'none'";
        context.Response.Headers.ContentSecurityPolicy = $"default-src 'none'; style-src {style}; img-src data:; font-src data:; frame-ancestors 'none'; base-uri 'none'; form-action 'none'";
        return Results.Text(html, "text/html", Encoding.UTF8);
    }
}
