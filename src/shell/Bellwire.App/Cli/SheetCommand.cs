using System.CommandLine;
using System.Globalization;
using System.Text.Encodings.Web;
using System.Text.Json;
using Bellwire.App.Desks;
using Bellwire.Counsel;
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
        return new Command("sheet", "Type sheets.") { check, Report() };
    }

    private static Command Report()
    {
        var file = new Argument<string>("file") { Description = "A type sheet (YAML), or the id of a shipped one." };
        var pairs = new Option<bool>("--pairs") { Description = "Sets of two faults as well: minutes rather than seconds." };
        var json = new Option<bool>("--json") { Description = "The whole report as JSON." };
        var report = new Command("report", "What the sheet cannot tell apart, looks that never earn their minutes, the odds that matter most.") { file, pairs, json };
        report.SetAction((parsed, stop) => Failing.Plainly(() =>
        {
            var name = parsed.GetValue(file)!;
            var sheet = SheetFolder.Shipped().All.FirstOrDefault(s => s.Id == name);
            if (sheet is null)
            {
                if (!File.Exists(name)) return Failing.Say($"there is no {name}", 1);
                var result = SheetReader.Read(File.ReadAllText(name), Path.GetFileName(name));
                foreach (var line in result.Lines(name)) Console.Error.WriteLine(line);
                if (result.Sheet is null) return Failing.Say("the sheet does not hold together; put its complaints right first", 2);
                sheet = result.Sheet;
            }
            try
            {
                var found = SheetReport.Of(sheet, parsed.GetValue(pairs), Progress, stop);
                if (!Console.IsErrorRedirected) Console.Error.WriteLine();
                if (parsed.GetValue(json)) Console.WriteLine(JsonSerializer.Serialize(found, JsonOutput)); else Print(found);
                return 0;
            }
            catch (OperationCanceledException) { return Failing.Say("given up", 1); }
        }));
        return report;
    }

    private static readonly JsonSerializerOptions JsonOutput = new(JsonSerializerDefaults.Web) { WriteIndented = true, Encoder = JavaScriptEncoder.UnsafeRelaxedJsonEscaping };

    private static void Progress(int done, int of)
    {
        if (!Console.IsErrorRedirected && done % 10 == 0) Console.Error.Write($"\r{done} of {of} fault sets looked at; Ctrl+C gives it up ");
    }

    private static void Print(SheetReport r)
    {
        static string N(double x) => x.ToString(x < 10 ? "0.#" : "0", CultureInfo.InvariantCulture);
        static void Say(string line, int indent)
        {
            foreach (var part in Wrapped.Lines(new string(' ', indent) + line, Wrapped.Width, indent + 4)) Console.WriteLine(part);
        }
        void Section(string title) => Console.WriteLine("\n" + title);
        Console.WriteLine($"{r.Title}: {r.Faults} faults{(r.Pairs > 0 ? $", {r.Pairs} pairs of them" : "")}, {r.Checks} looks");
        Section("Not told apart by any look");
        foreach (var c in r.Alike)
        {
            Say($"{c.Odds.ToString("P1", CultureInfo.InvariantCulture)}  {string.Join(" | ", c.Sets.Take(8))}{(c.Sets.Length > 8 ? $" | and {c.Sets.Length - 8} more" : "")}", 2);
            Say(c.Swap, 6);
            if (c.NewCheck is { } check) Say($"{check} It may cost up to {N(c.WorthMinutes)} minutes where one of them is left.", 6);
        }
        if (r.Alike.IsEmpty) Console.WriteLine("  Nothing: some look tells every two of them apart.");
        if (!r.Hardly.IsEmpty) Section("Hardly told apart");
        foreach (var h in r.Hardly) Say($"{h.One} | {h.Other}: best by “{h.Best}”, in {h.Apart.ToString("P0", CultureInfo.InvariantCulture)} of cases", 2);
        Section("Looks that decide between no two faults for less than they cost");
        foreach (var c in r.Idle) Say($"{c.Words}: {N(c.Minutes)} minutes, spares at most {N(c.Most)}", 2);
        if (r.Idle.IsEmpty) Console.WriteLine("  None.");
        Section("Odds that matter most: minutes lost a job when they are three times off");
        foreach (var o in r.Odds) Say($"{N(o.Minutes),5}  {o.Words}, {o.Odds.ToString("P1", CultureInfo.InvariantCulture)}", 2);
    }
}
