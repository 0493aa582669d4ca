using System.Globalization;
using Bellwire.App.Desks;
using Bellwire.App.Web;
using Bellwire.Counsel;
using Bellwire.Papers;

namespace Bellwire.App.Pages.Circuits;

/// <summary>A sheet's circuit: its reckoning stopped and begun, its plots.</summary>
internal static class CircuitPosts
{
    public static readonly Dictionary<string, PostAct> Acts = new() { ["stop"] = Stop, ["again"] = Again };

    private static string Here(Post post) => $"/sheets/{post.Route("id")}/circuit/{post.Route("name")}";

    private static Task<string?> Stop(Post post)
    {
        if (post.Desk.Sheets.FirstOrDefault(s => s.Id == post.Route("id")) is { } sheet) post.Desk.Foretell(sheet)?.Stop();
        return Task.FromResult<string?>(Here(post));
    }

    private static Task<string?> Again(Post post)
    {
        if (post.Desk.Sheets.FirstOrDefault(s => s.Id == post.Route("id")) is { } sheet) post.Desk.ForetellAgain(sheet);
        return Task.FromResult<string?>(Here(post));
    }

    public static void MapPlots(WebApplication app)
    {
        app.MapGet("/sheets/{id}/circuit/{name}/wave.svg", (string id, string name, string at, int? row, Desk desk) => Drawn(desk, id, name, at, row ?? 0, CircuitPlots.Wave));
        app.MapGet("/sheets/{id}/circuit/{name}/orders.svg", (string id, string name, string at, int? row, Desk desk) => Drawn(desk, id, name, at, row ?? 0, CircuitPlots.Made));
        app.MapGet("/job/{job}/ladder.svg", (string job, Desk desk) => desk.Knows(job) && desk.Ladder(job).Any(r => r.Point.High > r.Point.Low)
            ? Results.Text(CircuitPlots.Ladder(desk.Ladder(job)).Svg(), "image/svg+xml") : Results.NotFound());
    }

    private static IResult Drawn(Desk desk, string id, string name, string at, int row, Func<Bellwire.Sheets.CircuitSpec, Bellwire.Sheets.CircuitPoint, System.Collections.Immutable.ImmutableArray<Bellwire.Circuits.Fault>, string, Plot?> plot)
    {
        var sheet = desk.Sheets.FirstOrDefault(s => s.Id == id);
        if (sheet?.Circuits.FirstOrDefault(c => c.Id == name) is not { } circuit || circuit.Points.FirstOrDefault(p => p.Point == at) is not { } point) return Results.NotFound();
        if (circuit.Unpowered || !circuit.Netlist.Alternates) return Results.NotFound();
        if (desk.ForecastOf(sheet, circuit) is not { } forecast || row < 0 || row >= forecast.Singles.Rows.Length) return Results.NotFound();
        var chosen = forecast.Singles.Rows[row];
        return plot(circuit, point, chosen.Faults, chosen.Words) is { } drawn ? Results.Text(drawn.Svg(), "image/svg+xml") : Results.NotFound();
    }
}
