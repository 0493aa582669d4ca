using Bellwire.App.Desks;
using Microsoft.AspNetCore.Antiforgery;
using Microsoft.AspNetCore.Server.Kestrel.Core;

namespace Bellwire.App.Web;

/// <summary>The web host: loopback only, no request leaves the machine, assets found from any working directory.</summary>
public static class BenchHost
{
    /// <summary>Builds, without starting, the pages over one shop.</summary>
    /// <param name="port">0 takes a free one.</param>
    public static WebApplication Build(string dataPath, int port, TimeProvider time)
    {
        var home = AppContext.BaseDirectory;
        var builder = WebApplication.CreateBuilder(new WebApplicationOptions
        {
            ApplicationName = "bellwire",
            ContentRootPath = Directory.Exists(Path.Combine(home, "wwwroot")) ? home : null,
        });
        builder.WebHost.UseStaticWebAssets();
        builder.WebHost.ConfigureKestrel(kestrel =>
        {
            kestrel.AddServerHeader = false;
            kestrel.Limits.MaxRequestBodySize = PageMap.LargestForm;
            if (port == 0) kestrel.Listen(System.Net.IPAddress.Loopback, 0);
            else kestrel.ListenLocalhost(port);
        });
        builder.Logging.ClearProviders().AddSimpleConsole().SetMinimumLevel(LogLevel.Warning).AddFilter("Microsoft.AspNetCore.DataProtection", LogLevel.Error);
        builder.Services.Configure<Microsoft.Extensions.Logging.Console.ConsoleLoggerOptions>(o => o.LogToStandardErrorThreshold = LogLevel.Trace);
        // An hour of stereo is some 700 MB; it is streamed to disk and measured block by block.
        builder.Services.Configure<Microsoft.AspNetCore.Http.Features.FormOptions>(o => o.MultipartBodyLengthLimit = 1L << 30);
        builder.Services.AddRazorComponents();
        builder.Services.AddAntiforgery(o => { o.Cookie.Name = "bellwire-form"; o.Cookie.SameSite = SameSiteMode.Strict; });
        builder.Services.AddSingleton(_ => Desk.Open(dataPath, time));
        builder.Services.AddSingleton<LiveEvents>().AddSingleton<Reckonings>();
        builder.Services.AddSingleton<Ears.EarBench>().AddSingleton(s =>
        {
            var desk = s.GetRequiredService<Desk>();
            return Ears.SoakBench.Beside(dataPath, job => desk.Knows(job) ? [.. desk.State.TapeOf(job)] : null);
        });

        var app = builder.Build();
        var desk = app.Services.GetRequiredService<Desk>();
        var (soaks, ears) = (app.Services.GetRequiredService<Ears.SoakBench>(), app.Services.GetRequiredService<Ears.EarBench>());
        // Who is forgotten is not listened to any longer, and what was only measured goes too.
        desk.Grown += number =>
        {
            soaks.ClearOver();
            if (desk.ForgottenBy(number) is { } job) ears.LetGo(job);
        };
        app.Use(Guard);
        app.UseAntiforgery();
        app.MapStaticAssets();
        EntriesApi.Map(app);
        LiveEvents.Map(app);
        Reckonings.Map(app);
        PageMap.Map(app);
        return app;
    }

    /// <summary>Only names of this machine are answered (a foreign name pointing here is refused), and nothing foreign is loaded.</summary>
    private static async Task Guard(HttpContext context, RequestDelegate next)
    {
        if (context.Request.Host.Host is not ("localhost" or "127.0.0.1" or "[::1]"))
        {
            context.Response.StatusCode = StatusCodes.Status421MisdirectedRequest;
            await context.Response.WriteAsync("Bellwire answers only on this machine, at localhost.");
            return;
        }
        var headers = context.Response.Headers;
        headers.ContentSecurityPolicy =
            "default-src 'none'; script-src 'self'; style-src 'self'; font-src 'self'; img-src 'self' data: blob:; connect-src 'self'; " +
            "form-action 'self'; base-uri 'self'; frame-ancestors 'none'";
        headers.XContentTypeOptions = "nosniff";
        headers["Referrer-Policy"] = "same-origin";
        headers["Cross-Origin-Opener-Policy"] = "same-origin";
        await next(context);
    }
}
