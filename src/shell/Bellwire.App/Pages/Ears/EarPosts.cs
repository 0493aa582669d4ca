using Bellwire.App.Ears;
using Bellwire.App.Parts;
using Bellwire.App.Web;
using Bellwire.Counsel;
using Bellwire.Counsel.Ears;
using Bellwire.Sheets;
using Bellwire.Signals;
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
        ("response", "Response, by the sweep"), ("crosstalk", "Two stations: crosstalk"), ("balance", "Two channels: balance"), ("note", "Chime: the note"), ("interval", "Chime: the interval"),
    ];

    private static async Task<string?> Hear(Post post)
    {
        var what = post.Need("what", "Say what to listen for.");
        var check = what.StartsWith("check:", StringComparison.Ordinal) ? post.Desk.SheetOf(post.Job).Checks.FirstOrDefault(c => c.Id == what[6..] && c.Ear is not null) : null;
        var measure = check?.Ear ?? Free.Select(f => f.Measure).FirstOrDefault(m => m == what);
        if (measure is null) post.Complain("what", "Choose one of these.");
        var from = post["from"];
        var byOwner = from == "owner" || check?.How == "ask";
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
        var line = post["line"] == "50" ? 50.0 : 60;
        var kind = EarReport.KindOf(measure!);
        var file = post.Services.GetRequiredService<EarBench>().NewFile();
        try { return await Measured(post, file, measure!, check, limits, byOwner, overLead ? EarGate.Said(dc!.Value) : "", line, kind); }
        catch
        {
            File.Delete(file); // refused, or given up half-way: nothing of it stays
            throw;
        }
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

    private static async Task<string?> Measured(Post post, string file, string measure, CheckSpec? check, EarLimits? limits, bool byOwner, string lead, double line, string? kind)
    {
        using var telling = post.Reckoning();
        var both = post.Files["null"] is { Length: > 0 };
        Action<double, double?> Tell(double from, double to) => (heard, all) => telling.Say($"Heard {Plain.Minutes(heard / 60)} of it", all is > 0 ? from + (to - from) * Math.Min(1, heard / all.Value) : null);
        telling.Say("Putting it by", 0);
        await using (var to = File.Create(file))
        await using (var bytes = post.Files["recording"]!.OpenReadStream()) await bytes.CopyToAsync(to, post.Stop);
        Hearing? heard, off = null;
        string why;
        await using (var stream = File.OpenRead(file)) (heard, why) = Hearing.Of(stream, new(line), keep: true, Tell(0, both ? 0.5 : 0.95), post.Stop);
        if (heard is null) post.Complain("recording", why);
        if (both)
        {
            await using var stream = post.Files["null"]!.OpenReadStream();
            (off, why) = Hearing.Of(stream, new(line), keep: false, Tell(0.5, 0.95), post.Stop);
            if (off is null) post.Complain("null", why);
            else if (heard is not null && off.Channels.Count != heard.Channels.Count) post.Complain("null", $"It has {off.Channels.Count} channels, the other {heard.Channels.Count}: record both alike.");
        }
        post.StopIfWrong();
        telling.Say("Reckoning what was asked for", 0.95);
        var report = EarReport.Of(heard!, off, kind, EarBench.Sweep(heard!.Format.Rate));
        post.Stop.ThrowIfCancellationRequested();
        var id = Guid.NewGuid().ToString("N")[..12];
        post.Services.GetRequiredService<EarBench>().Add(new(id, post.Job, file, post.Files["recording"]!.FileName, check?.Id, byOwner, lead, report, EarFinding.Of(report.Listened, measure, check, limits, byOwner)) { Limits = check?.Limits ?? limits?.Response ?? [] });
        return $"/job/{post.Job}/ear?heard={id}#result";
    }

    private static async Task<string?> Keep(Post post)
    {
        if (post.Services.GetRequiredService<EarBench>().Find(post.Job, post.Typed.Maybe("heard")) is not { } heard)
        {
            post.Typed.Refusal = "That recording is no longer at hand: measure it once more.";
            return null;
        }
        var hash = await post.Desk.KeepSound(heard.File, heard.Report.Heard, post.Stop);
        var (finding, system) = (heard.Finding, post.Desk.SystemOf(post.Job)?.Id);
        var acts = new List<Act> { new SoundKept(post.Job, heard.ByOwner ? null : system, heard.Check, finding.Measure, hash, finding.Value, finding.Uncertainty, finding.Unit, finding.Said.TrimEnd('.') + heard.Lead, heard.ByOwner) };
        var spec = post.Desk.SheetOf(post.Job).Checks.FirstOrDefault(c => c.Id == heard.Check);
        if (spec is not null && finding.Outcome is { } outcome)
        {
            if (spec.How == "ask") acts.Add(new OwnerTold(post.Job, spec.Id, outcome, null));
            else if (system is not null) acts.Add(new Checked(post.Job, system, spec.Id, outcome, spec.Throws, spec.Circumstances, spec.Minutes));
        }
        post.RecordAll(acts);
        return $"/job/{post.Job}/ear?kept=yes";
    }
}
