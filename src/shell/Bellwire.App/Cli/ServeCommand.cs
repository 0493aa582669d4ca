using System.CommandLine;
using Bellwire.App.Web;

namespace Bellwire.App.Cli;

/// <summary><c>serve</c>: the pages, on this machine only.</summary>
internal static class ServeCommand
{
    public static Command Build()
    {
        var data = DataPath.Option();
        var port = new Option<int>("--port")
        {
            Description = "The port on this machine; 0 takes a free one.",
            DefaultValueFactory = _ => 5270,
        };
        port.Validators.Add(result =>
        {
            if (result.GetValueOrDefault<int>() is < 0 or > 65535) result.AddError("--port lies between 0 and 65535.");
        });
        var command = new Command("serve", "Start the pages on this machine and print their address.") { data, port };
        command.SetAction(async (parsed, stop) =>
        {
            var path = Path.GetFullPath(parsed.GetValue(data)!);
            WebApplication app;
            try
            {
                Directory.CreateDirectory(Path.GetDirectoryName(path)!);
                app = BenchHost.Build(path, parsed.GetValue(port), TimeProvider.System);
                await app.StartAsync(stop);
            }
            catch (Exception problem) when (problem is IOException or UnauthorizedAccessException or InvalidDataException)
            {
                await Console.Error.WriteLineAsync($"bellwire: cannot serve {path}: {problem.Message}");
                return 1;
            }
            Console.WriteLine($"Bellwire is at {app.Urls.First()}  (shop: {path}; Ctrl+C stops it)");
            await app.WaitForShutdownAsync(stop);
            await app.DisposeAsync();
            return 0;
        });
        return command;
    }
}
