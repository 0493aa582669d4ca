using Bellwire.App.Ears;
using Bellwire.App.Web;
using Bellwire.Counsel;
using Bellwire.Counsel.Ears;
using Bellwire.Sheets;
using Bellwire.Workshop;

namespace Bellwire.App.Pages.Ears;

/// <summary>Measure a recording; put it on the tape.</summary>
internal static class EarPosts
{
    public static readonly Dictionary<string, PostAct> Acts = new() { ["hear"] = Hear, ["keep"] = Keep };

    /// <summary>Free measures beside the sheet's own checks, and what a person calls them.</summary>
    public static readonly (string Measure, string Words)[] Free =
    [
        ("hum", "Hum, and what kind"), ("level", "Level"), ("noise", "Noise"), ("tone", "A tone: frequency"), ("distortion", "A tone: distortion"),
        ("response", "Response, by the sweep"), ("response-pink", "Response, by pink noise"), ("crosstalk", "Two stations: crosstalk"), ("balance", "Two channels: balance"), ("note", "Chime: the note"), ("interval", "Chime: the interval"),
    ];

    private static async Task<string?> Hear(Post post)
    {
        var what = post.Need("what", "Say what to listen for.");
        var check = what.StartsWith("check:", StringComparison.Ordinal) ? post.Desk.SheetOf(post.Job).Checks.FirstOrDefault(c => c.Id == what[6..] && c.Ear is not null) : null;
        var measure = check?.Ear ?? Free.Select(f => f.Measure).FirstOrDefault(m => m == what);
        var byPink = measure == "response-pink";
        if (byPink) measure = "response";
        if (measure is null) post.Complain("what", "Choose one of these.");
        var from = post["from"];
        var byOwner = from == "owner" || check?.How == "ask";
        if (byOwner && check is { How: not "ask", Owner: false })
            post.Complain("from", $"That is looked at on the bench. An owner’s recording answers: {string.Join("; ", post.Desk.TelephoneChecks(post.Job).Select(c => c.Words).DefaultIfEmpty("nothing of this sheet"))}. Or listen freely.");
        if (post.Files["recording"] is not { Length: > 0 }) post.Complain("recording", "Record something, or drop a WAV file here.");
        var dc = post.Number("dc", -1000, 1000, "The DC");
        var overLead = from == "lead" && !byOwner;
        if (overLead)
        {
            if (post.Desk.LeadBar(post.Job) is { } bar) post.Complain("from", bar);
            foreach (var (field, words) in EarGate.Complaints(dc, post.Typed.All("lead").Contains("isolated"), post.Typed.All("lead").Contains("loaded"))) post.Complain(field, words);
        }
        var limits = check is null ? FreeLimits(post, measure) : null;
        post.StopIfWrong();
        var heard = await Measuring.Of(post, measure!, byPink ? "pink" : EarReport.KindOf(measure!), check, limits, byOwner, overLead ? EarGate.Said(dc!.Value) : "");
        post.Services.GetRequiredService<EarBench>().Add(heard);
        return $"/job/{post.Job}/ear?heard={heard.Id}#result";
    }

    /// <summary>What was typed as limits; null when nothing was.</summary>
    private static EarLimits? FreeLimits(Post post, string? measure)
    {
        var (low, high) = (post.Number("low", -200, 100_000, "The lowest"), post.Number("high", -200, 100_000, "The highest"));
        if (low >= high) post.Complain("high", "The highest lies above the lowest.");
        if (measure != "response") return low is null && high is null ? null : new(low, high, []);
        var (from, to) = (post.Number("from-hertz", 10, 90_000, "From Hz"), post.Number("to-hertz", 10, 90_000, "To Hz"));
        if (from >= to) post.Complain("to-hertz", "It lies above the other.");
        if (low is null && high is null && from is null && to is null) return null;
        foreach (var (field, given) in new[] { ("low", low), ("high", high), ("from-hertz", from), ("to-hertz", to) })
            if (given is null) post.Complain(field, "A response takes all four, or none.");
        return new(null, null, low is null || high is null || from is null || to is null || post.Typed.Failed ? [] : [new(from.Value, to.Value, low.Value, high.Value)]);
    }

    private static async Task<string?> Keep(Post post)
    {
        if (post.Services.GetRequiredService<EarBench>().Find(post.Job, post.Typed.Maybe("heard")) is not { } heard)
        {
            post.Typed.Refusal = "That recording is no longer at hand: measure it once more.";
            return null;
        }
        post.RecordAll(await Measuring.Acts(post, heard));
        return $"/job/{post.Job}/ear?kept=yes";
    }
}
