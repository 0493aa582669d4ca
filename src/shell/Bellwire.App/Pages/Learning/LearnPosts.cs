using Bellwire.App.Web;
using Bellwire.Sheets;

namespace Bellwire.App.Pages.Learning;

/// <summary>Reckon, stop, and take up what was reckoned.</summary>
internal static class LearnPosts
{
    public static readonly Dictionary<string, PostAct> Acts = new() { ["reckon"] = Reckon, ["stop"] = Stop, ["adopt"] = Adopt };

    private static Task<string?> Reckon(Post post)
    {
        if (Family(post) is { } sheet) post.Desk.Reckon(sheet);
        return Task.FromResult<string?>("/learned");
    }

    private static Task<string?> Stop(Post post)
    {
        if (Family(post) is { } sheet) post.Desk.ReckoningOf(sheet)?.Stop();
        return Task.FromResult<string?>("/learned");
    }

    private static Task<string?> Adopt(Post post)
    {
        if (Family(post) is { } sheet && post.Desk.ReckoningOf(sheet)?.Result?.Adoption(post.Desk.State) is { } adoption) post.Record(adoption);
        return Task.FromResult<string?>("/learned");
    }

    private static TypeSheet? Family(Post post) => post.Desk.Sheets.FirstOrDefault(s => s.Id == post["sheet"]);
}
