using Bellwire.App.Desks;
using Bellwire.App.Ears;
using Bellwire.Signals;

namespace Bellwire.App.Web;

/// <summary>Plots of recordings just measured, and test signals to be played while recording.</summary>
internal static class EarFiles
{
    private const double MostSeconds = 60;

    public static void Map(WebApplication app)
    {
        app.MapGet("/job/{job}/ear/{id}.svg", (string job, string id, EarBench ears) => ears.Find(job, id) is { } heard
            ? Results.Text(EarPlots.Of(heard.Report.Heard, heard.Report, heard.Report.As).Svg(), "image/svg+xml") : Results.NotFound());
        app.MapGet("/ear/signal.wav", (string kind, int? rate, double? seconds) =>
        {
            var (hertz, s) = (rate is >= 8000 and <= 192_000 ? rate.Value : 48_000, seconds is > 0 and <= MostSeconds ? seconds.Value : 5);
            // Quiet by intent: −12 dBFS and less, small cones in mind.
            var sound = kind switch
            {
                "tone" => TestSignals.Tone(hertz, 1000, s, -12),
                "sweep" => TestSignals.Sweep(hertz, new SweepAsked() with { HighHertz = Math.Min(20_000, hertz * 0.45) }),
                "pink" => TestSignals.Pink(hertz, s, -30, 1),
                _ => null,
            };
            if (sound is null) return Results.NotFound();
            using var bytes = new MemoryStream();
            WavWriter.Write(bytes, sound, WavKind.Pcm24);
            return Results.Bytes(bytes.ToArray(), "audio/wav");
        });
    }
}
