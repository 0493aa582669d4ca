using Bellwire.App.Desks;
using Bellwire.App.Ears;
using Bellwire.Signals;

namespace Bellwire.App.Web;

/// <summary>Plots of recordings just measured, and test signals to be played while recording.</summary>
internal static class EarFiles
{
    private const double MostSeconds = 60;
    private const int LargestBlock = 4 << 20;

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
            var (hertz, s) = (rate is >= 8000 and <= 192_000 ? rate.Value : 48_000, seconds is > 0 and <= MostSeconds ? seconds.Value : 5);
            // Quiet by intent: −12 dBFS and less, small cones in mind.
            var sound = kind switch
            {
                "tone" => TestSignals.Tone(hertz, 1000, s, -12),
                "sweep" => TestSignals.Sweep(hertz, EarBench.Sweep(hertz)),
                "pink" => TestSignals.Pink(hertz, s, -30, 1),
                _ => null,
            };
            if (sound is null) return Results.NotFound();
            using var bytes = new MemoryStream();
            WavWriter.Write(bytes, sound, WavKind.Pcm24);
            return Results.Bytes(bytes.ToArray(), "audio/wav");
        });
    }

    /// <summary>One block of the sound input: 32-bit floats, mono. The header keeps foreign pages out: they cannot send it without being asked first.</summary>
    private static async Task<IResult> Feed(string job, int n, int rate, HttpContext context, SoakBench soaks)
    {
        if (context.Request.Headers["X-Bellwire"] != "soak") return Results.StatusCode(StatusCodes.Status403Forbidden);
        if (soaks.Of(job) is not { } soak) return Results.NotFound();
        if (rate is < 8000 or > 192_000 || context.Request.ContentLength is not (> 0 and <= LargestBlock)) return Results.BadRequest();
        using var bytes = new MemoryStream();
        await context.Request.Body.CopyToAsync(bytes, context.RequestAborted);
        var block = System.Runtime.InteropServices.MemoryMarshal.Cast<byte, float>(bytes.GetBuffer().AsSpan(0, (int)bytes.Length / 4 * 4)).ToArray();
        var taken = soak.Feed(n, rate, block);
        soak.Keep(); // acknowledged means kept: a block told of here is not asked for after a restart
        return taken ? Results.Json(new { next = soak.Next, listened = soak.Listened, events = soak.Events.Length, due = soak.Due }) : Results.Conflict(new { next = soak.Next });
    }
}
