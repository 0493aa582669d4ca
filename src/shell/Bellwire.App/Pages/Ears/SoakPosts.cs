using Bellwire.App.Ears;
using Bellwire.App.Parts;
using Bellwire.App.Web;
using Bellwire.Signals;
using Bellwire.Workshop;

namespace Bellwire.App.Pages.Ears;

/// <summary>A soak begun, watched and ended.</summary>
internal static class SoakPosts
{
    public static readonly Dictionary<string, PostAct> Acts = new() { ["begin"] = Begin, ["tried"] = Tried, ["end"] = End, ["file"] = FromFile };

    private static Task<string?> Begin(Post post)
    {
        if (Bench(post).Of(post.Job) is not null) { post.Typed.Refusal = "A soak of this set is being watched already: end that one first."; return Task.FromResult<string?>(null); }
        var hours = post.Number("hours", 0.1, 500, "The hours");
        post.StopIfWrong();
        if (post.Desk.SystemOf(post.Job) is not { } system) { post.Typed.Refusal = "No set of this owner stands on the bench yet."; return Task.FromResult<string?>(null); }
        post.Record(new SoakBegun(post.Job, system.Id, post["attended"] == "yes", hours));
        Bench(post).Begin(Bench(post).New(post.Job, system.Id, post["line"] == "50" ? 50 : 60, post.Desk.Now));
        return Task.FromResult<string?>(post.Here);
    }

    private static Task<string?> Tried(Post post)
    {
        Bench(post).Of(post.Job)?.Try(post.Desk.Now, post["good"] == "yes");
        return Task.FromResult<string?>(post.Here);
    }

    /// <summary>An hour or a night recorded elsewhere: watched in one go.</summary>
    private static async Task<string?> FromFile(Post post)
    {
        if (Bench(post).Of(post.Job) is not null) { post.Typed.Refusal = "A soak of this set is being watched already: end that one first."; return null; }
        if (post.Files["recording"] is not { Length: > 0 } file) { post.Complain("recording", "Drop a WAV file here."); return null; }
        await using var stream = file.OpenReadStream();
        var opened = WavOpening.Of(stream);
        if (opened.Reader is not { } reader) { post.Complain("recording", opened.Why!); return null; }
        var soak = Bench(post).New(post.Job, post.Desk.SystemOf(post.Job)?.Id, post["line"] == "50" ? 50 : 60, post.Desk.Now);
        using var telling = post.Reckoning();
        double[][] block = [.. Enumerable.Range(0, reader.Format.Channels).Select(_ => new double[reader.Format.Rate])];
        try
        {
            for (var n = 0; reader.Read(block, reader.Format.Rate) is > 0 and var got; n++)
            {
                post.Stop.ThrowIfCancellationRequested();
                soak.Feed(n, reader.Format.Rate, [.. block[0].AsSpan(0, got).ToArray().Select(v => (float)v)]);
                telling.Say($"Watched {Plain.Minutes(n / 60.0)} of it", reader.DeclaredFrames is > 0 and var all ? (double)reader.FramesRead / all : null);
            }
            if (soak.Listened < 1) { post.Complain("recording", string.Join(" ", reader.Remarks.DefaultIfEmpty("It is shorter than a second: nothing to watch."))); soak.Erase(); return null; }
            if (!Bench(post).Begin(soak)) { post.Typed.Refusal = "A soak of this set is being watched already: end that one first."; return null; }
        }
        catch
        {
            soak.Erase(); // given up half-way: nothing of it stays
            throw;
        }
        return post.Here;
    }

    private static async Task<string?> End(Post post)
    {
        if (Bench(post).Of(post.Job) is not { } soak) { post.Typed.Refusal = "No soak is being watched."; return null; }
        var seen = post.Typed.Has("seen") ? post.Whole("seen", 1, 1000, "How often it showed") : null;
        var weeks = post.Typed.Has("weeks") ? post.Number("weeks", 0.1, 1000, "The weeks") : null;
        var week = post.Typed.Has("week") ? post.Number("week", 0.1, 168, "Hours a week") : null;
        if (seen is not null && (weeks is null || week is null)) post.Complain(weeks is null ? "weeks" : "week", "Say this too, or leave all three empty.");
        post.StopIfWrong();
        var acts = new List<Act>();
        foreach (var one in soak.All.Where(h => h.HasClip))
        {
            await using var clip = soak.OpenClip(one.Number);
            if (clip is null) continue;
            var hash = await post.Desk.KeepSound(clip, post.Stop);
            acts.Add(new SoundKept(post.Job, soak.System, null, "soak", hash, null, null, null, $"in the soak, {EventWords.Of(one.Event)}; the twenty seconds before it", false));
        }
        var listened = soak.Listened / 3600;
        acts.Add(new SoakEnded(post.Job, soak.System, Math.Max(listened, (post.Desk.Now - soak.Begun).TotalHours), listened, soak.Events.Length, soak.Said(seen is { } times ? (times, weeks!.Value, week!.Value) : null)));
        if (seen is { } showed) acts.Add(new ComesAndGoes(post.Job, showed, weeks!.Value, week!.Value));
        post.RecordAll(acts);
        Bench(post).End(soak);
        return $"/job/{post.Job}/soak?ended=yes";
    }

    private static SoakBench Bench(Post post) => post.Services.GetRequiredService<SoakBench>();
}
