using Bellwire.App.Pages.Benches;
using Bellwire.App.Web;

namespace Bellwire.App.Pages.Tapes;

/// <summary>What the tape's forms do besides those of the bench.</summary>
internal static class TapePosts
{
    public static Dictionary<string, PostAct> Acts { get; } = new(BenchPosts.Acts) { ["behind"] = Behind, ["no-behind"] = Stop };

    private static Task<string?> Behind(Post post)
    {
        post.Desk.LookBehind(post.Job);
        return Back(post);
    }

    private static Task<string?> Stop(Post post)
    {
        post.Desk.ClashOf(post.Job)?.Stop();
        return Back(post);
    }

    private static Task<string?> Back(Post post) => Task.FromResult<string?>($"/job/{post.Job}/tape#behind");
}
