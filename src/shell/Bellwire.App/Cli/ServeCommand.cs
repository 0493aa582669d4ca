using System.CommandLine;

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
            if (result.Tokens is [{ Value: var typed }] && int.TryParse(typed, out var number) && number is < 0 or > 65535) result.AddError("--port lies between 0 and 65535.");
        });
        var command = new Command("serve", "Start the pages on this machine and print their address.") { data, port };
        command.SetAction((parsed, stop) => Failing.Plainly(() => Serving.Run(Path.GetFullPath(parsed.GetValue(data)!), parsed.GetValue(port), stop)));
        return command;
    }
}
