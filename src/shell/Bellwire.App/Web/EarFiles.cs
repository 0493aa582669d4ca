using System.Globalization;
using Bellwire.App.Desks;
using Bellwire.App.Ears;
using Bellwire.Signals;

namespace Bellwire.App.Web;

/// <summary>Plots of recordings just measured, and test signals to be played while recording.</summary>
internal static class EarFiles
{
    private const double MostSeconds = 60;
    private const int LargestBlock = 4 << 20, MostMissed = 200;

    public static void Map(WebApplication app)
    {
        app.MapGet("/job/{job}/ear/{id}.svg", (string job, string id, string? plot, EarBench ears) => ears.Find(job, id) is { } heard
            ? Results.Text(EarPlots.Of(heard.Report.Heard, heard.Report, plot ?? heard.Report.As, heard.Limits).Svg(), "image/svg+xml") : Results.NotFound());
        app.MapGet("/job/{job}/soak/timeline.svg", (string job, SoakBench soaks) => soaks.Of(job) is { } soak ? Results.Text(soak.Timeline().Svg(), "image/svg+xml") : Results.NotFound());
        app.MapGet("/job/{job}/soak/clip/{n:int}.wav", (string job, int n, SoakBench soaks) => soaks.Of(job)?.OpenClip(n) is { } clip ? Results.Stream(clip, "audio/wav", $"clip-{n}.wav") : Results.NotFound());
        app.MapGet("/job/{job}/sound/{hash}.wav", (string job, string hash, Desk desk) => desk.Sound(job, hash) is { } sound ? Results.Stream(sound, "audio/wav", $"recording-{hash[..8]}.wav", enableRangeProcessing: true) : Results.NotFound());
        app.MapPost("/job/{job}/soak/feed", Feed).DisableAntiforgery();
        app.MapGet("/ear/signal.wav", (string kind, int? rate, double? seconds) =>
        {
            var (hertz, s) = (rate is >= 8000 and <= 192_000 ? rate.Value : 48_000, seconds is > 0 ? Math.Min(seconds.Value, MostSeconds) : 5);
            // Quiet by intent: −12 dBFS and less, small cones in mind.
            var sound = kind switch
            {
                "tone" => TestSignals.Tone(hertz, 1000, s, -12),
                "sweep" => TestSignals.Sweep(hertz, EarBench.Sweep(hertz)),
                "pink" => TestSignals.Pink(hertz, s, EarBench.PinkRmsDbfs, 1),
                _ => null,
            };
            if (sound is null) return Results.NotFound();
            using var bytes = new MemoryStream();
            WavWriter.Write(bytes, sound, WavKind.Pcm24);
            return Results.Bytes(bytes.ToArray(), "audio/wav");
        });
    }

    /// <summary>One block of the sound input: 32-bit floats, mono. The header keeps foreign pages out: they cannot send it without being asked first.</summary>
    /// <param name="missed">What the machine did not hear of it: first sample, samples in its place, milliseconds, joined by hyphens; several by commas.</param>
    private static async Task<IResult> Feed(string job, int n, int rate, string? missed, HttpContext context, SoakBench soaks)
    {
        if (context.Request.Headers["X-Bellwire"] != "soak") return Results.StatusCode(StatusCodes.Status403Forbidden);
        if (soaks.Of(job) is not { } soak) return Results.NotFound();
        if (rate is < 8000 or > 192_000 || context.Request.ContentLength is not (> 0 and <= LargestBlock)) return Results.BadRequest();
        using var bytes = new MemoryStream();
        await context.Request.Body.CopyToAsync(bytes, context.RequestAborted);
        var block = System.Runtime.InteropServices.MemoryMarshal.Cast<byte, float>(bytes.GetBuffer().AsSpan(0, (int)bytes.Length / 4 * 4)).ToArray();
        if (MissedIn(missed, block.Length) is not { } gaps) return Results.BadRequest();
        var taken = soak.Feed(n, rate, block, gaps);
        soak.Keep(); // acknowledged means kept: a block told of here is not asked for after a restart
        return taken ? Results.Json(new { next = soak.Next, listened = soak.Listened, events = soak.Events.Length, missed = soak.Gaps.Sum(g => g.Seconds), due = soak.Due }) : Results.Conflict(new { next = soak.Next });
    }

    /// <summary>Null when it cannot be read, or does not lie in a block of so many samples.</summary>
    private static Missed[]? MissedIn(string? written, int samples)
    {
        if (string.IsNullOrEmpty(written)) return [];
        var (gaps, at) = (new List<Missed>(), 0);
        foreach (var one in written.Split(','))
        {
            if (gaps.Count == MostMissed || one.Split('-') is not [var from, var count, var milliseconds]) return null;
            if (!int.TryParse(from, NumberStyles.None, CultureInfo.InvariantCulture, out var f) || !int.TryParse(count, NumberStyles.None, CultureInfo.InvariantCulture, out var c) || !uint.TryParse(milliseconds, NumberStyles.None, CultureInfo.InvariantCulture, out var ms)) return null;
            if (f < at || f + (long)c > samples) return null;
            gaps.Add(new(f, c, ms / 1000.0));
            at = f + c;
        }
        return [.. gaps];
    }
}
