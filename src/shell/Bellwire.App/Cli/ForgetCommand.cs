using System.CommandLine;
using Bellwire.App.Ears;
using Bellwire.Store;
using Bellwire.Workshop;

namespace Bellwire.App.Cli;

/// <summary><c>forget</c>: an owner asks to be forgotten.</summary>
internal static class ForgetCommand
{
    public static Command Build()
    {
        var data = DataPath.Option();
        var job = new Argument<string>("job") { Description = "The job whose owner is forgotten." };
        var yes = new Option<bool>("--yes") { Description = "Erase: it cannot be brought back." };
        var command = new Command("forget", "Erase an owner's name, words, photographs, recordings and soak for good; the entries stay.") { job, data, yes };
        command.SetAction((parsed, _) => Failing.Plainly(() =>
        {
            var (path, name) = (parsed.GetValue(data)!, parsed.GetValue(job)!);
            if (!File.Exists(path)) return Failing.Say($"there is no shop at {path}", 1);
            using var shop = Shop.Open(path, TimeProvider.System);
            if (!shop.State.Jobs.ContainsKey(name)) return Failing.Say($"there is no job {name}", 1);
            if (!parsed.GetValue(yes)) return Failing.Say($"forgetting the owner of {name} cannot be undone; say --yes", 2);
            if (shop.Forget(Guid.NewGuid().ToString("N"), Party.OwnerOf(name)) is Recorded.Refused no) return Failing.Say(no.Why, 1);
            // What soaks lie beside the file is looked through: that of a forgotten owner is erased.
            SoakBench.Beside(path, j => shop.State.Jobs.ContainsKey(j) ? [.. shop.State.TapeOf(j)] : null);
            Console.WriteLine($"the owner of {name} is forgotten{(shop.ErasurePending ? "; another program holds the file, the last bytes go when it lets go" : "")}. Old backups, papers sent and invoices the law makes you keep are beyond its reach.");
            return 0;
        }));
        return command;
    }
}
