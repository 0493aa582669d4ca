using Bellwire.App.Web;
using Bellwire.Sheets;

namespace Bellwire.App.Pages.Sheets;

/// <summary>Begins and gives up the reckoning of what a sheet cannot tell.</summary>
internal static class ReportPosts
{
    public static readonly Dictionary<string, PostAct> Acts = new() { ["report"] = Begin, ["no-report"] = Stop };

    private static Task<string?> Begin(Post post) => For(post, (sheet, pairs) => post.Desk.ReportOn(sheet, pairs));

    private static Task<string?> Stop(Post post) => For(post, (sheet, pairs) => post.Desk.ReportOf(sheet, pairs)?.Stop());

    private static Task<string?> For(Post post, Action<TypeSheet, bool> act)
    {
        if (post.Desk.Sheets.FirstOrDefault(s => s.Id == post["sheet"]) is not { } sheet) return Task.FromResult<string?>("/sheets");
        var pairs = post["pairs"] == "yes";
        act(sheet, pairs);
        return Task.FromResult<string?>($"/sheets/{sheet.Id}/report{(pairs ? "?pairs=yes" : "")}");
    }
}
