using Bellwire.App.Desks;
using Bellwire.App.Web;
using Bellwire.Workshop;

namespace Bellwire.App.Pages.Benches;

/// <summary>Pieces off their connectors before power, and on again: each is one deed, all of it or nothing.</summary>
internal static class RailPosts
{
    /// <summary>Those of the bench, and these.</summary>
    public static Dictionary<string, PostAct> WithBench { get; } = new(BenchPosts.Acts) { ["unplug"] = Unplug, ["plug"] = Plug };

    private static Task<string?> Unplug(Post post) => Deed(post, (set, at, _) => set.Pieces.TryGetValue(at, out var piece) ? new Pulled(post.Job, piece, set.Id, at, "beside the set") : null);

    private static Task<string?> Plug(Post post) => Deed(post, (set, at, piece) => set.Pieces.ContainsKey(at) ? null : new Fitted(post.Job, piece, set.Id, at));

    private static Task<string?> Deed(Post post, Func<SystemState, string, string, Act?> act)
    {
        var set = BenchPosts.System(post);
        post.RecordAll([.. post.Typed.Under("at-").Select(p => act(set, p.Key, p.Value)).OfType<Act>()]);
        return Task.FromResult<string?>($"/job/{post.Job}/bench");
    }
}
