using System.CommandLine;
using Bellwire.Sheets;

namespace Bellwire.App.Cli;

/// <summary><c>sheet check</c>: every complaint at once, where it is.</summary>
internal static class SheetCommand
{
    public static Command Build()
    {
        var files = new Argument<string[]>("file") { Description = "Type sheets (YAML).", Arity = ArgumentArity.OneOrMore };
        var check = new Command("check", "Read type sheets and say every complaint as file:line:column.") { files };
        check.SetAction((parsed, _) => Failing.Plainly(() =>
        {
            var complaints = 0;
            foreach (var file in parsed.GetValue(files)!)
            {
                if (!File.Exists(file)) return Failing.Say($"there is no {file}", 1);
                var result = SheetReader.Read(File.ReadAllText(file), Path.GetFileName(file));
                foreach (var line in result.Lines(file)) Console.WriteLine(line);
                complaints += result.Complaints.Length;
                if (result.Sheet is { } sheet) Console.WriteLine($"{file}: {sheet.Title}: {sheet.Positions.Length} positions, {sheet.Faults.Length} faults, {sheet.Checks.Length} checks");
            }
            return complaints == 0 ? 0 : Failing.Say($"{complaints} complaint{(complaints == 1 ? "" : "s")}", 2);
        }));
        return new Command("sheet", "Type sheets.") { check };
    }
}
