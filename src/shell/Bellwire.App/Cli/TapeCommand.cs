using System.CommandLine;
using System.Globalization;
using Bellwire.App.Desks;
using Bellwire.Store;

namespace Bellwire.App.Cli;

/// <summary><c>tape show|export|import</c>.</summary>
internal static class TapeCommand
{
    public static Command Build() => new("tape", "A job's tape.") { Show(), Export(), Import() };

    private static Command Show()
    {
        var data = DataPath.Option();
        var job = new Argument<string>("job");
        var command = new Command("show", "Print a tape in effective order.") { job, data };
        command.SetAction((parsed, _) => Failing.Plainly(() =>
        {
            if (!File.Exists(parsed.GetValue(data))) return Failing.Say($"there is no shop at {parsed.GetValue(data)}", 1);
            using var desk = Desk.Open(parsed.GetValue(data)!, TimeProvider.System);
            var id = parsed.GetValue(job)!;
            if (!desk.Knows(id)) return Failing.Say($"there is no job {id}; there are {string.Join(", ", desk.State.Jobs.Keys.Order(StringComparer.Ordinal))}", 1);
            foreach (var e in desk.State.TapeOf(id)) Console.WriteLine(string.Create(CultureInfo.InvariantCulture, $"#{e.Number,-5} {e.Done ?? e.Entered:yyyy-MM-dd HH:mm}  {desk.WordsOf(e)}"));
            return 0;
        }));
        return command;
    }

    private static Command Export()
    {
        var data = DataPath.Option();
        var job = new Argument<string>("job");
        var file = new Argument<string>("file") { Description = "The file to write; must not exist." };
        var command = new Command("export", "Write a tape, its texts and photographs into one verifiable file.") { job, file, data };
        command.SetAction((parsed, _) => Failing.Plainly(() =>
        {
            if (!File.Exists(parsed.GetValue(data))) return Failing.Say($"there is no shop at {parsed.GetValue(data)}", 1);
            using var shop = Shop.Open(parsed.GetValue(data)!, TimeProvider.System);
            if (!shop.State.Jobs.ContainsKey(parsed.GetValue(job)!)) return Failing.Say($"there is no job {parsed.GetValue(job)}", 1);
            using var target = new FileStream(parsed.GetValue(file)!, FileMode.CreateNew);
            TapeFile.Export(shop, parsed.GetValue(job)!, target);
            Console.WriteLine($"Tape of {parsed.GetValue(job)} written to {parsed.GetValue(file)}");
            return 0;
        }));
        return command;
    }

    private static Command Import()
    {
        var data = DataPath.Option();
        var file = new Argument<string>("file") { Description = "A tape that was exported." };
        var command = new Command("import", "Verify a tape and take it into this shop: all of it or nothing.") { file, data };
        command.SetAction((parsed, stop) => Failing.Plainly(async () =>
        {
            if (!File.Exists(parsed.GetValue(file))) return Failing.Say($"there is no {parsed.GetValue(file)}", 1);
            await using var source = File.OpenRead(parsed.GetValue(file)!);
            var path = parsed.GetValue(data)!;
            var isNew = !File.Exists(path);
            try
            {
                using var shop = Shop.Open(path, TimeProvider.System);
                Console.WriteLine($"{await TapeFile.Import(shop, source, stop)} entries imported");
                return 0;
            }
            catch (StoreException) when (isNew)
            {
                File.Delete(path);
                throw;
            }
        }));
        return command;
    }
}
