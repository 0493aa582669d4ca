using Bellwire.App.Desks;
using Bellwire.App.Pages;
using Microsoft.AspNetCore.Antiforgery;
using Microsoft.AspNetCore.Components;
using Microsoft.AspNetCore.Http.HttpResults;

namespace Bellwire.App.Web;

/// <summary>Every page and its address. A page is a Razor component rendered on the server; its forms post to the page's own
/// address, where the act named in the hidden field <c>form</c> is done. Done: back to the page. Refused: the page again, with what was typed.</summary>
internal static partial class PageMap
{
    private static void Page<T>(WebApplication app, string route, IReadOnlyDictionary<string, PostAct>? acts = null, long? largest = null) where T : IComponent
    {
        app.MapGet(route, (HttpContext context) => Render<T>(context, Typed.Nothing, StatusCodes.Status200OK));
        if (acts is null) return;
        var posts = app.MapPost(route, (HttpContext context, IAntiforgery antiforgery, Desk desk) => Taken(context, async () =>
        {
            if (!await antiforgery.IsRequestValidAsync(context))
                return Results.Text("This form is stale or came from elsewhere. Go back, reload the page and send it again.", statusCode: StatusCodes.Status400BadRequest);
            var form = await context.Request.ReadFormAsync(context.RequestAborted);
            var typed = new Typed(form.ToDictionary(f => f.Key, f => f.Value));
            var post = new Post(context, desk, typed, form.Files);
            if (!acts.TryGetValue(typed.Form, out var act)) return Results.Text("The form names no act this page knows.", statusCode: StatusCodes.Status400BadRequest);
            string? to;
            try { to = await act(post); }
            catch (StopPost) { to = null; }
            if (typed.Failed || to is null) return Render<T>(context, typed, StatusCodes.Status422UnprocessableEntity);
            // send.js goes there itself: it would otherwise fetch the page once to throw it away.
            return context.Request.Headers["X-Bellwire"] == "send" ? Results.Json(new { to }) : Results.LocalRedirect(to);
        }, largest ?? LargestForm));
        if (largest is { } bytes) posts.WithMetadata(new Microsoft.AspNetCore.Mvc.RequestSizeLimitAttribute(bytes));
    }

    /// <summary>A form whose sender went away in the middle needs no answer; one too large gets a plain one.</summary>
    private static async Task<IResult> Taken(HttpContext context, Func<Task<IResult>> take, long largest)
    {
        try { return await take(); }
        catch (Exception e) when (context.RequestAborted.IsCancellationRequested && e is OperationCanceledException or IOException or AntiforgeryValidationException) { return Results.Empty; }
        catch (Exception e) when ((e is AntiforgeryValidationException { InnerException: { } cut } ? cut : e) is BadHttpRequestException { StatusCode: StatusCodes.Status400BadRequest }) { return Results.Empty; } // cut off before the server knew it
        catch (Exception e) when ((e is AntiforgeryValidationException { InnerException: { } inner } ? inner : e) is InvalidDataException or BadHttpRequestException { StatusCode: StatusCodes.Status413PayloadTooLarge })
        {
            return Results.Text($"What was sent is larger than {largest >> 20} MB, and nothing of it was kept. Cut the recording into shorter ones, or make it smaller, and send that.", statusCode: StatusCodes.Status413PayloadTooLarge);
        }
    }

    private static IResult Render<T>(HttpContext context, Typed typed, int status) where T : IComponent
    {
        var desk = context.RequestServices.GetRequiredService<Desk>();
        var parameters = new Dictionary<string, object?>();
        foreach (var (name, value) in context.Request.RouteValues)
            if (typeof(T).GetProperty(name, System.Reflection.BindingFlags.IgnoreCase | System.Reflection.BindingFlags.Public | System.Reflection.BindingFlags.Instance) is { } property)
                parameters[property.Name] = value?.ToString();
        if (context.Request.RouteValues.TryGetValue("job", out var job) && !desk.Knows(job!.ToString()!))
            return new RazorComponentResult<Document>(DocumentOf(typeof(NotHere), [], context, typed)) { StatusCode = StatusCodes.Status404NotFound };
        return new RazorComponentResult<Document>(DocumentOf(typeof(T), parameters, context, typed)) { StatusCode = status };
    }

    private static Dictionary<string, object?> DocumentOf(Type page, Dictionary<string, object?> parameters, HttpContext context, Typed typed) => new()
    {
        [nameof(Document.Page)] = page,
        [nameof(Document.Parameters)] = parameters,
        [nameof(Document.Typed)] = typed,
        [nameof(Document.Request)] = context,
    };
}

/// <summary>Does what a form asks; returns the address to go to, or null when the form must be shown again.</summary>
internal delegate Task<string?> PostAct(Post post);

/// <summary>Thrown inside an act once the complaint stands in <see cref="Typed"/>: nothing further is done.</summary>
internal sealed class StopPost : Exception;
