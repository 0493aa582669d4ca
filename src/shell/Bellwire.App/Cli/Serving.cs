using Bellwire.App.Web;

namespace Bellwire.App.Cli;

/// <summary>Serves a shop until told to stop.</summary>
internal static class Serving
{
    public static async Task<int> Run(string path, int port, CancellationToken stop)
    {
        WebApplication app;
        try
        {
            app = BenchHost.Build(path, port, TimeProvider.System);
            await app.StartAsync(stop);
        }
        catch (IOException e) { return Failing.Say($"cannot serve {path}: {e.Message}", 1); }
        Console.WriteLine($"Bellwire is at {app.Urls.First()}  (shop: {path}; Ctrl+C stops it)");
        await app.WaitForShutdownAsync(stop);
        await app.DisposeAsync();
        return 0;
    }
}
