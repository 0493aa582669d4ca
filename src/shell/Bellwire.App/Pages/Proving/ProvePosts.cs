using Bellwire.App.Web;
using Bellwire.Counsel;
using Bellwire.Workshop;

namespace Bellwire.App.Pages.Proving;

/// <summary>The final check, function by function.</summary>
internal static class ProvePosts
{
    public static readonly Dictionary<string, PostAct> Acts = new() { ["prove"] = Prove, ["note"] = CommonPosts.Note, ["comes"] = Comes };

    private static Task<string?> Comes(Post post)
    {
        post.Need("seen", "Say how often it showed.");
        post.Need("weeks", "Say within how many weeks.");
        post.Need("week", "Say how many hours a week the set ran.");
        var (seen, weeks, week) = (post.Whole("seen", 1, 1000, "How often it showed"), post.Number("weeks", 0.1, 1000, "The weeks"), post.Number("week", 0.1, 168, "Hours a week"));
        post.StopIfWrong();
        post.Record(new ComesAndGoes(post.Job, seen!.Value, weeks!.Value, week!.Value));
        return Task.FromResult<string?>(post.Here + "#comings");
    }

    private static Task<string?> Prove(Post post)
    {
        var step = post.Desk.SheetOf(post.Job).Proof.FirstOrDefault(s => s.Id == post["function"]);
        if (step is null) post.Typed.Refusal = "The proof plan has no such step.";
        var value = post.Number("value", -1e6, 1e6, "The reading");
        post.StopIfWrong();
        var told = post["outcome"] == "told";
        var outcome = post["outcome"] == "shown" || told ? "shown" : "failed";
        var proved = new Proved(post.Job, step!.Id, outcome, value, step.Unit, told ? ProofPlan.OwnersWord : null);
        if (ProofPlan.Complaint(post.Desk.SheetOf(post.Job), proved, Ground.IsPositive(post.Desk.State, post.Job)) is { } complaint) post.Complain("value", complaint);
        post.StopIfWrong();
        post.Record(proved);
        return Task.FromResult<string?>(post.Here);
    }
}
