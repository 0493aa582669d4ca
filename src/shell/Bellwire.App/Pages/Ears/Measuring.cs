using Bellwire.App.Ears;
using Bellwire.App.Parts;
using Bellwire.App.Web;
using Bellwire.Counsel.Ears;
using Bellwire.Sheets;
using Bellwire.Workshop;

namespace Bellwire.App.Pages.Ears;

/// <summary>A recording that came with a form, measured; and what goes onto the tape of it.</summary>
internal static class Measuring
{
    /// <summary>Measures the files <c>recording</c> and, where there is one, <c>null</c>; tells how far it is; complains beside their fields.</summary>
    /// <param name="kind">The kind of listening it needs.</param>
    /// <param name="lead">How the lead was found, for the tape.</param>
    public static async Task<Heard> Of(Post post, string measure, string? kind, CheckSpec? check, EarLimits? limits, bool byOwner, string lead)
    {
        var file = post.Services.GetRequiredService<EarBench>().NewFile();
        try { return await Of(post, file, measure, kind, check, limits, byOwner, lead); }
        catch
        {
            File.Delete(file); // refused, or given up half-way: nothing of it stays
            throw;
        }
    }

    private static async Task<Heard> Of(Post post, string file, string measure, string? kind, CheckSpec? check, EarLimits? limits, bool byOwner, string lead)
    {
        var (full, read) = (post.Number("full", 0.001, 10_000, "Full scale"), post.Number("read", 0.000_001, 10_000, "What the meter read"));
        if (full is not null && read is not null) post.Complain("read", "One of the two: full scale follows from what the meter read.");
        post.StopIfWrong();
        using var telling = post.Reckoning();
        var line = post["line"] == "50" ? 50.0 : 60;
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
        var report = EarReport.Of(heard!, off, kind, EarBench.Played(heard!.Format.Rate));
        post.Stop.ThrowIfCancellationRequested();
        var level = report.Listened.Channel.Level;
        if (read is not null && !(level.AcRms > 0)) post.Complain("read", "It is silent: nothing to calibrate by.");
        post.StopIfWrong();
        // A hand meter's one part in a hundred (common practice, no source).
        if (full is not null || read is not null) report = report with { Calibration = full is { } volts ? new(volts, 0.1) : Bellwire.Signals.Calibration.From(level, read!.Value, 0.1) };
        return new(Guid.NewGuid().ToString("N")[..12], post.Job, file, post.Files["recording"]!.FileName, check?.Id, byOwner, lead, report, EarFinding.Of(report.Listened, measure, check, limits, byOwner)) { Limits = check?.Limits ?? limits?.Response ?? [] };
    }

    /// <summary>The recording, kept; and the look, or the owner's word, that it is evidence for.</summary>
    public static async Task<List<Act>> Acts(Post post, Heard heard)
    {
        var hash = await post.Desk.KeepSound(heard.File, heard.Report.Heard, post.Stop);
        var (finding, system) = (heard.Finding, post.Desk.SystemOf(post.Job)?.Id);
        var acts = new List<Act> { new SoundKept(post.Job, heard.ByOwner ? null : system, heard.Check, finding.Measure, hash, finding.Value, finding.Uncertainty, finding.Unit, finding.Told.TrimEnd('.') + heard.Lead, heard.ByOwner) };
        var spec = post.Desk.SheetOf(post.Job).Checks.FirstOrDefault(c => c.Id == heard.Check);
        if (spec is null || finding.Outcome is not { } outcome) return acts;
        if (heard.ByOwner) acts.Add(new OwnerTold(post.Job, spec.Id, outcome, null));
        else if (system is not null) acts.Add(new Checked(post.Job, system, spec.Id, outcome, spec.Throws, spec.Circumstances, spec.Minutes));
        return acts;
    }
}
