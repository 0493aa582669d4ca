using System.CommandLine;
using Bellwire.Store;

namespace Bellwire.App.Cli;

/// <summary><c>backup</c>: one zip of a running shop.</summary>
internal static class BackupCommand
{
    public static Command Build()
    {
        var data = DataPath.Option();
        var to = new Argument<string>("file") { Description = "The backup to write; must not exist." };
        var command = new Command("backup", "Copy the shop, running or not, into one file.") { to, data };
        command.SetAction((parsed, stop) => Failing.Plainly(() =>
        {
            var path = parsed.GetValue(data)!;
            if (!File.Exists(path)) return Failing.Say($"there is no shop at {path}", 1);
            using var shop = Shop.Open(path, TimeProvider.System);
            Archive.Backup(shop, parsed.GetValue(to)!, stop);
            Console.WriteLine($"{shop.Head} entries backed up to {parsed.GetValue(to)}");
            return 0;
        }));
        return command;
    }
}

/// <summary><c>restore</c>: a backup becomes a new shop file.</summary>
internal static class RestoreCommand
{
    public static Command Build()
    {
        var from = new Argument<string>("file") { Description = "The backup." };
        var data = DataPath.Option();
        var command = new Command("restore", "Lay a backup down as a new shop file, and verify it.") { from, data };
        command.SetAction((parsed, _) => Failing.Plainly(() =>
        {
            var verified = Archive.Restore(parsed.GetValue(from)!, parsed.GetValue(data)!, TimeProvider.System);
            Console.WriteLine($"{verified.Entries} entries restored to {parsed.GetValue(data)}; head {verified.Head}");
            return 0;
        }));
        return command;
    }
}

/// <summary><c>verify</c>: every hash again.</summary>
internal static class VerifyCommand
{
    public static Command Build()
    {
        var data = DataPath.Option();
        var command = new Command("verify", "Recompute every hash of the journal, its tapes, texts and photographs.") { data };
        command.SetAction((parsed, stop) => Failing.Plainly(() =>
        {
            var path = parsed.GetValue(data)!;
            if (!File.Exists(path)) return Failing.Say($"there is no shop at {path}", 1);
            using var shop = Shop.Open(path, TimeProvider.System);
            var verified = shop.Verify(stop);
            foreach (var complaint in verified.Complaints) Console.WriteLine(complaint);
            if (verified.Complaints.Length > 0) return Failing.Say($"{verified.Complaints.Length} complaints in {verified.Entries} entries", 1);
            Console.WriteLine($"{verified.Entries} entries and {verified.Jobs} tapes hold; head {verified.Head}");
            return 0;
        }));
        return command;
    }
}
