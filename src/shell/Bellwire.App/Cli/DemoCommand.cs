using System.CommandLine;
using Bellwire.App.Demo;
using Bellwire.App.Desks;
using Bellwire.App.Web;
using Bellwire.Store;

namespace Bellwire.App.Cli;

/// <summary><c>demo</c>: an invented shop, served.</summary>
internal static class DemoCommand
{
    public static Command Build()
    {
        var data = new Option<string?>("--data") { Description = "Where to put the demo shop; a fresh temporary file when left out. Must not exist.", HelpName = "path" };
        var port = new Option<int>("--port") { Description = "The port on this machine; 0 takes a free one.", DefaultValueFactory = _ => 5270 };
        var fillOnly = new Option<bool>("--fill-only") { Description = "Make the shop and stop, without serving it." };
        var command = new Command("demo", "Make an invented shop with three jobs in different places of their way, serve it and print the address.") { data, port, fillOnly };
        command.SetAction((parsed, stop) => Failing.Plainly(async () =>
        {
            var path = Path.GetFullPath(parsed.GetValue(data) ?? Path.Combine(Directory.CreateTempSubdirectory("bellwire-demo-").FullName, "shop.db"));
            if (File.Exists(path)) return Failing.Say($"{path} exists; the demo goes into a new file.", 1);
            using (var shop = Shop.Open(path, TimeProvider.System))
            {
                var family = SheetFolder.Shipped().All.First(s => !s.GeneralOdds);
                DemoShop.Fill(shop, family, TimeProvider.System.GetUtcNow());
                Console.WriteLine($"The demo shop has {shop.Head} entries in {path}");
            }
            return parsed.GetValue(fillOnly) ? 0 : await Serving.Run(path, parsed.GetValue(port), stop);
        }));
        return command;
    }
}
