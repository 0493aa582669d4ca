using System.Collections.Immutable;
using Bellwire.App.Desks;
using Bellwire.App.Pages.Benches;
using Bellwire.App.Pages.Quotes;
using Bellwire.App.Web;
using Bellwire.Counsel.Mends;
using Bellwire.Workshop;

namespace Bellwire.App.Pages.Mending;

/// <summary>Parts that went in. The rule is asked again about the very part: a part it refuses goes in only with a kept reason.</summary>
internal static class MendPosts
{
    public static readonly Dictionary<string, PostAct> Acts = new() { ["mend"] = Mended, ["through"] = Through, ["part"] = Part, ["stays"] = QuotePosts.Stays };

    private static async Task<string?> Mended(Post post) => await BenchPosts.Acts["mend"](post) is null ? null : $"/job/{post.Job}/mend";

    /// <summary>A piece gone through part by part and its connector cleaned: one deed, all of it or nothing.</summary>
    public static Task<string?> Through(Post post)
    {
        var system = BenchPosts.System(post);
        var position = post.Need("position", "Say where.");
        post.Need("minutes", "Say how long it took.");
        var minutes = post.Number("minutes", 0, 1000, "Minutes");
        post.StopIfWrong();
        var acts = post.Desk.ThroughActs(post.Job, system, position, minutes!.Value);
        if (acts.Count == 0) post.Typed.Refusal = "Nothing sits there that could be gone through.";
        post.RecordAll(acts);
        return Task.FromResult<string?>(post.Here);
    }

    private static Task<string?> Part(Post post)
    {
        var piece = post.Need("piece", "Say which piece it went into.");
        var stock = post.Typed.Has("stock") ? post.Desk.State.Parts.GetValueOrDefault(post["stock"]) : null;
        if (post.Typed.Has("stock") && stock is null) post.Complain("stock", "That part is no longer in the drawer.");
        var name = stock?.Name ?? post.Need("name", "Say what it is.");
        var count = post.Whole("count", 1, 1000, "How many") ?? 1;
        var cost = post.Number("cost", 0, 100_000, "The price");
        post.StopIfWrong();
        var finding = Judged(post, stock);
        if (finding?.Judgement is Judgement.DoesNotFit or Judgement.NoAdvice && post.Override is null)
        {
            post.Typed.Refusal = finding.Judgement == Judgement.NoAdvice ? $"The rule gives no advice here. {finding.Says}" : $"By the rule it does not fit. {finding.Says}";
            post.Typed.RefusalDetails = finding.Why;
            post.Typed.MayOverride = true;
            throw new StopPost();
        }
        var reason = post.Override is { } all ? $"Against the rule ({finding?.Says}), because {all}" : finding?.Says;
        post.RecordAll(post.Desk.UseActs(new PartUsed(post.Job, piece, name, (decimal)(cost ?? 0) * count, post.Desk.Currency, reason, stock?.Id, count == 1 ? null : count, post.Typed.Maybe("old"))));
        return Task.FromResult<string?>($"/job/{post.Job}/mend#mended");
    }

    /// <summary>What the rule says of this part; null when no rule was asked or its answer only says what to look for.</summary>
    private static Finding? Judged(Post post, DrawerPart? stock)
    {
        if (Calculation.Of(post["rule"]) is not MendRule rule) return null;
        if (stock is not null && stock.Rule != rule.Id) return null;
        var (given, wrong) = rule.Read(id => post.Typed.Maybe("a-" + id));
        if (wrong.Count > 0) return null;
        if (stock is null) return rule.Answer(given) is { Judgement: not Judgement.Reckoned } finding ? finding : null;
        var pick = Stock.Pick(rule, given, post.Desk.Drawer.Where(p => p.Id == stock.Id));
        return (pick.Best ?? pick.DoNotFit.FirstOrDefault())?.Finding;
    }
}
