using System.CommandLine;
using System.Globalization;
using System.Text.Json;
using Bellwire.App.Desks;
using Bellwire.Counsel;
using Bellwire.Workshop;

namespace Bellwire.App.Cli;

/// <summary><c>explain</c>: where the advice on a job comes from.</summary>
internal static class ExplainCommand
{
    public static Command Build()
    {
        var data = DataPath.Option();
        var what = new Argument<string>("job-or-file") { Description = "A job of the shop, or a case file (docs/case-file.md)." };
        var json = new Option<bool>("--json") { Description = "All of it as JSON." };
        var command = new Command("explain", "How each entry moved the suspects, what the circuits foretell, what each outcome of a move would change.") { what, data, json };
        command.SetAction((parsed, stop) => Failing.Plainly(() =>
        {
            if (!JobOrFile.Try(parsed.GetValue(what)!, parsed.GetValue(data)!, explained: true, TimeSpan.Zero, stop, out var asked, out var code)) return code;
            if (parsed.GetValue(json)) Console.WriteLine(JsonSerializer.Serialize(asked!.Explanation!, Indented));
            else Print(asked!.Explanation!);
            return 0;
        }));
        return command;
    }

    private static readonly JsonSerializerOptions Indented = new(ActKinds.Json) { WriteIndented = true, IncludeFields = true };

    private static void Print(Explanation x)
    {
        static string Share(double p) => p.ToString("P1", CultureInfo.InvariantCulture);
        foreach (var s in x.Suspects)
        {
            Say($"{s.Name}: {Share(s.Before)} before anything was seen, {Share(s.Now)} now", 2);
            foreach (var e in s.Entries) Say(string.Create(CultureInfo.InvariantCulture, $"  {e.Decibans,6:+0.0;−0.0} dB  #{e.Number} {e.Words} ({e.Weight})"), 12);
            Console.WriteLine();
        }
        foreach (var c in x.Circuits)
        {
            Say($"{c.Words}: expected{(c.Holds ? "" : ", under a feed that is not on now")}", 2);
            foreach (var e in c.Now) Console.WriteLine(string.Create(CultureInfo.InvariantCulture, $"  {e.Point,-16} {Math.Round(e.Low, 2) + 0.0:0.00} to {Math.Round(e.High, 2) + 0.0:0.00}"));
            foreach (var s in c.States) Say(string.Create(CultureInfo.InvariantCulture, $"  {Share(s.Probability),7}  {s.Words}: {string.Join(", ", s.Readings.Select(e => $"{e.Point} {string.Join(" or ", e.Means.Select(m => $"{Math.Round(m, 2) + 0.0:0.##}").Distinct())}"))}"), 11);
            Console.WriteLine();
        }
        foreach (var m in x.Moves)
        {
            Say(string.Create(CultureInfo.InvariantCulture, $"{m.Words} ({m.Minutes:0.#} min)"), 2);
            foreach (var o in m.Outcomes) Say($"  {Share(o.P),7}  {o.Outcome}: {o.Changes}", 11);
        }
    }

    private static void Say(string line, int indent)
    {
        foreach (var part in Wrapped.Lines(line, Wrapped.Width, indent)) Console.WriteLine(part);
    }
}
