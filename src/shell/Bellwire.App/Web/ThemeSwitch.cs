using Microsoft.AspNetCore.Antiforgery;

namespace Bellwire.App.Web;

/// <summary>Light, dark or as the machine says, kept in a cookie so that it works without scripts.</summary>
internal static class ThemeSwitch
{
    private const string Cookie = "bellwire-light";

    public static string Of(HttpContext context) => context.Request.Cookies[Cookie] is "light" or "dark" ? context.Request.Cookies[Cookie]! : "auto";

    public static void Map(WebApplication app) => app.MapPost("/light", async (HttpContext context, IAntiforgery antiforgery) =>
    {
        if (!await antiforgery.IsRequestValidAsync(context)) return Results.BadRequest();
        var form = await context.Request.ReadFormAsync();
        var wanted = form["light"].ToString() is "light" or "dark" ? form["light"].ToString() : "auto";
        context.Response.Cookies.Append(Cookie, wanted, new CookieOptions { MaxAge = TimeSpan.FromDays(3650), SameSite = SameSiteMode.Strict, HttpOnly = true, IsEssential = true });
        var back = form["back"].ToString();
        return Results.LocalRedirect(back.StartsWith('/') && !back.StartsWith("//", StringComparison.Ordinal) ? back : "/");
    });
}
