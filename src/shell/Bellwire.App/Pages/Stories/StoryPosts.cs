using Bellwire.App.Desks;
using Bellwire.App.Ears;
using Bellwire.App.Pages.Ears;
using Bellwire.App.Web;
using Bellwire.Workshop;

namespace Bellwire.App.Pages.Stories;

/// <summary>The story as told by the owner.</summary>
internal static class StoryPosts
{
    public static readonly Dictionary<string, PostAct> Opening = new() { ["open"] = Open };

    public static readonly Dictionary<string, PostAct> Acts = new()
    {
        ["cause"] = Cause, ["told"] = Told, ["family"] = Family, ["outline"] = Correct, ["word"] = Word, ["sound"] = Sound,
        ["note"] = CommonPosts.Note, ["strike"] = CommonPosts.Strike,
    };

    private static Task<string?> Open(Post post)
    {
        post.Need("owner", "Whose set is it?");
        var outline = Outline(post);
        var sheet = post.Desk.Sheets.FirstOrDefault(s => s.Id == post["sheet"]);
        post.StopIfWrong();
        var job = Post.NewName("");
        var owner = post.Words("owner")!.Value;
        post.Record(new JobOpened(job, owner.Ref, sheet?.Id, sheet?.Hash, outline), owner);
        if (post.Words("words") is { } words) post.Record(new Noted(job, words.Ref), words);
        if (post.Words("reach") is { } reach) post.Record(new Noted(job, reach.Ref), (reach.Ref, "To be reached at " + reach.Text));
        return Task.FromResult<string?>($"/job/{job}/story");
    }

    private static Task<string?> Correct(Post post)
    {
        var outline = Outline(post);
        post.StopIfWrong();
        post.Record(new OutlineCorrected(post.Job, outline));
        return Task.FromResult<string?>(post.Here);
    }

    private static SetOutline Outline(Post post)
    {
        var rooms = post.Whole("rooms", 0, 40, "Room stations");
        var doors = post.Whole("doors", 0, 20, "Door stations");
        return new(post.Typed.Maybe("era") ?? "unknown", post.Typed.Maybe("feed") ?? "unknown", rooms ?? 0, doors ?? 0, [.. post.Typed.All("has")]);
    }

    private static Task<string?> Cause(Post post)
    {
        var cause = post.Need("cause", "Say which.");
        bool? happened = post["happened"] switch { "yes" => true, "no" => false, _ => null };
        post.Record(new CauseTold(post.Job, cause, happened, null));
        return Task.FromResult<string?>(post.Here);
    }

    private static Task<string?> Told(Post post)
    {
        var check = post.Need("check", "Say which.");
        var outcome = post.Need("outcome", "Say what the owner answered.");
        post.Record(new OwnerTold(post.Job, check, outcome, null));
        return Task.FromResult<string?>(post.Here);
    }

    /// <summary>A telephone's recording is the owner's word where its frequencies say something; where not, it is not kept.</summary>
    private static async Task<string?> Sound(Post post)
    {
        var check = post.Desk.TelephoneChecks(post.Job).FirstOrDefault(c => c.Id == post["sounding"]);
        if (check is null) post.Complain("sounding", "Say what it is a recording of.");
        if (post.Files["recording"] is not { Length: > 0 }) post.Complain("recording", "Drop the owner’s WAV file here.");
        post.StopIfWrong();
        var heard = await Measuring.Of(post, check!.Ear!, EarReport.KindOf(check.Ear!), check, null, byOwner: true, "");
        try
        {
            if (heard.Finding.Outcome is null) post.Complain("recording", $"{heard.Finding.Said.TrimEnd('.')}. That is no evidence{(heard.Finding.Refusal is { } why && !heard.Finding.Said.Contains(why.TrimEnd('.'), StringComparison.OrdinalIgnoreCase) ? ": " + why.TrimEnd('.') : "")}. Nothing was kept.");
            post.StopIfWrong();
            post.RecordAll(await Measuring.Acts(post, heard));
        }
        finally { File.Delete(heard.File); }
        return $"/job/{post.Job}/story?heard={check.Id}#phone";
    }

    private static Task<string?> Family(Post post)
    {
        if (post.Desk.Sheets.FirstOrDefault(s => s.Id == post["sheet"]) is not { } sheet)
        {
            post.Complain("sheet", "Choose a family.");
            return Task.FromResult<string?>(null);
        }
        post.Record(new SheetPinned(post.Job, sheet.Id, sheet.Hash, post.Desk.OddsVersionOf(sheet.Id), Desk.EngineVersion));
        return Task.FromResult<string?>(post.Here);
    }

    private static Task<string?> Word(Post post)
    {
        var about = post.Need("about", "Say what the word is about.");
        var amount = post.Number("amount", 0, 1_000_000, "The sum");
        var answer = post.Need("answer", "Yes or no?");
        post.StopIfWrong();
        var words = post.Words("words");
        post.Record(new OwnerWord(post.Job, about, answer == "yes", post.Typed.Maybe("channel") ?? "telephone", (decimal?)amount, amount is null ? null : post.Desk.Currency, words?.Ref), words is { } w ? [w] : []);
        return Task.FromResult<string?>(post.Here);
    }
}
