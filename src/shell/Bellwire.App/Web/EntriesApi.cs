using System.Text.Json;
using Bellwire.App.Desks;
using Bellwire.Workshop;

namespace Bellwire.App.Web;

/// <summary>The journal for scripts: one act in, its number out once it is durable; a tape, read.</summary>
internal static class EntriesApi
{
    public static void Map(WebApplication app)
    {
        app.MapPost("/api/entries", Record).DisableAntiforgery();
        app.MapGet("/api/jobs/{job}/tape", Tape);
    }

    /// <summary>200 {number} · 409 {why, details, overridable, gates: [{gate, words, liftable}]} · 400 {where}.</summary>
    private static async Task<IResult> Record(HttpContext context, Desk desk)
    {
        // A page of another origin cannot send this media type without asking first, and is never given leave.
        if (context.Request.ContentType?.StartsWith("application/json", StringComparison.OrdinalIgnoreCase) != true)
            return Bad("content-type: send application/json.");
        JsonDocument body;
        try { body = await JsonDocument.ParseAsync(context.Request.Body, cancellationToken: context.RequestAborted); }
        catch (JsonException e) { return Bad($"line {e.LineNumber + 1}, byte {e.BytePositionInLine + 1}: {e.Message}"); }
        using (body)
        {
            var root = body.RootElement;
            if (root.ValueKind != JsonValueKind.Object) return Bad("the body is an object: id, kind, act, and maybe after, done, texts.");
            if (!root.TryGetProperty("id", out var id) || id.ValueKind != JsonValueKind.String) return Bad("id: a text of 1 to 80 characters, made by you.");
            if (!root.TryGetProperty("kind", out var kind) || kind.ValueKind != JsonValueKind.String) return Bad($"kind: one of {string.Join(", ", ActKinds.Names)}.");
            if (!root.TryGetProperty("act", out var act) || act.ValueKind != JsonValueKind.Object) return Bad("act: an object with the fields of that kind.");
            long? after = null;
            if (root.TryGetProperty("after", out var a) && a.ValueKind != JsonValueKind.Null)
            {
                if (!a.TryGetInt64(out var n)) return Bad("after: the number of an entry.");
                after = n;
            }
            DateTimeOffset? done = null;
            if (root.TryGetProperty("done", out var d) && d.ValueKind != JsonValueKind.Null)
            {
                if (d.ValueKind != JsonValueKind.String || !d.TryGetDateTimeOffset(out var when)) return Bad("done: a time such as 2026-11-25T09:30:00Z.");
                done = when;
            }
            var texts = new Dictionary<string, string>();
            if (root.TryGetProperty("texts", out var t) && t.ValueKind == JsonValueKind.Object)
                foreach (var text in t.EnumerateObject())
                    if (text.Value.ValueKind == JsonValueKind.String) texts[text.Name] = text.Value.GetString()!;
                    else return Bad($"texts.{text.Name}: a text.");
            if (ActKinds.ReadProposed(kind.GetString()!, act.GetRawText()) is not { Act: { } parsed } proposed) return Bad(ActKinds.ReadProposed(kind.GetString()!, act.GetRawText()).Complaint!);
            var answer = desk.Record(id.GetString()!, parsed, after, done, texts);
            return answer.Refused is { } no
                ? Results.Json(new { why = no.Why, details = no.Details, overridable = no.Overridable, gates = answer.Gates }, ActKinds.Json, statusCode: StatusCodes.Status409Conflict)
                : Results.Json(new { number = answer.Number }, ActKinds.Json);
        }
    }

    private static IResult Tape(string job, Desk desk) => desk.Knows(job)
        ? Results.Json(desk.State.TapeOf(job).Select(e => new { e.Number, e.Id, e.Entered, e.Done, e.After, kind = ActKinds.NameOf(e.Act), act = JsonSerializer.SerializeToElement<object>(e.Act, ActKinds.Json), words = desk.WordsOf(e) }), ActKinds.Json)
        : Results.Json(new { why = $"There is no job {job}." }, ActKinds.Json, statusCode: StatusCodes.Status404NotFound);

    private static IResult Bad(string where) => Results.Json(new { where }, ActKinds.Json, statusCode: StatusCodes.Status400BadRequest);
}

/// <summary>Photographs by content hash.</summary>
internal static class PhotoFile
{
    public static void Map(WebApplication app) => app.MapGet("/job/{job}/photo/{hash}", (string job, string hash, Desk desk, HttpContext context) =>
    {
        if (!desk.Knows(job) || desk.PhotosOf(job).FirstOrDefault(p => p.ContentHash == hash) is not { } known || desk.Photo(hash) is not { } photo) return Results.NotFound();
        context.Response.Headers.CacheControl = "private, max-age=31536000, immutable";
        return Results.Stream(photo, known.MediaType, enableRangeProcessing: true);
    });
}
