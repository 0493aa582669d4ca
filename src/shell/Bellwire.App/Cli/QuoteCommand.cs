using System.CommandLine;
using System.Globalization;
using System.Text.Json;
using Bellwire.App.Desks;
using Bellwire.Workshop;

namespace Bellwire.App.Cli;

/// <summary><c>quote</c>: what a job comes to as its tape stands, and what the owner has said to it. Gives no quote: that is an act of the page.</summary>
internal static class QuoteCommand
{
    public static Command Build()
    {
        var data = DataPath.Option();
        var what = new Argument<string>("job") { Description = "A job of the shop." };
        var json = new Option<bool>("--json") { Description = "Every figure as JSON." };
        var command = new Command("quote", "Mean, P10, P50 and P90 of a job, the lines a quote would have, its ceiling, and the owner's word.") { what, data, json };
        command.SetAction((parsed, _) => Failing.Plainly(() =>
        {
            var job = parsed.GetValue(what)!;
            if (!File.Exists(parsed.GetValue(data))) return Failing.Say($"there is no shop at {parsed.GetValue(data)}", 1);
            using var desk = Desk.Open(parsed.GetValue(data)!, TimeProvider.System);
            if (!desk.Knows(job)) return Failing.Say($"there is no job {job}; jobs: {string.Join(", ", desk.State.Jobs.Keys.Order(StringComparer.Ordinal))}", 1);
            if (desk.Quote(job) is not { } sight) return Failing.Say($"the tape of {job} contradicts itself; nothing can be priced until `weigh {job}` names no clash", 1);
            if (parsed.GetValue(json)) Console.WriteLine(JsonSerializer.Serialize(Figures(job, sight), Indented));
            else Print(sight);
            return 0;
        }));
        return command;
    }

    private static readonly JsonSerializerOptions Indented = new(ActKinds.Json) { WriteIndented = true };

    private static object Figures(string job, QuoteSight s) => new
    {
        Job = job, s.Spread.Currency, s.Spread.Mean, s.Spread.P10, s.Spread.P50, s.Spread.P90, s.Spread.Spent, s.Spread.LooksToCome,
        Lines = s.Proposal.Lines.Select(l => new { l.What, l.Kind, l.Amount }), s.Proposal.Flat,
        Extras = s.Proposal.Extras.Select(e => new { e.What, e.Amount }), s.Proposal.Ceiling,
        Agreement = new { s.Agreement.Given, s.Agreement.Accepted, s.Agreement.Refused, s.Agreement.Ceiling, s.Agreement.Agreed, s.Agreement.Unagreed },
        Words = s.Agreement.Words.Select(w => new { w.When, w.Yes, w.About, w.Channel, w.Amount, w.Currency }),
    };

    private static void Print(QuoteSight s)
    {
        string Sum(decimal money) => string.Create(CultureInfo.InvariantCulture, $"{money:0.00} {s.Spread.Currency}");
        string Row(string name, decimal money) => $"{name,-52}{Sum(money),16}";
        Console.WriteLine("For your own eyes");
        Console.WriteLine(Row("  mean", s.Spread.Mean));
        foreach (var (name, money) in new[] { ("P10", s.Spread.P10), ("P50", s.Spread.P50), ("P90", s.Spread.P90) }) Console.WriteLine(Row($"  {name}", money));
        Console.WriteLine(Row("  spent so far", s.Spread.Spent));
        Console.WriteLine("\nA quote given now");
        foreach (var line in s.Proposal.Lines) Console.WriteLine(Row($"  {line.What}", line.Amount));
        Console.WriteLine(Row("  Flat price", s.Proposal.Flat));
        foreach (var extra in s.Proposal.Extras) Console.WriteLine(Row($"  {extra.What}", extra.Amount));
        Console.WriteLine(Row("  Ceiling", s.Proposal.Ceiling));
        Console.WriteLine("\nThe owner's word");
        if (s.Agreement.Words.IsEmpty) Console.WriteLine(s.Agreement.Quote is null ? "  No quote was given yet." : "  None yet on the quote that was given.");
        foreach (var w in s.Agreement.Words)
            Console.WriteLine(string.Create(CultureInfo.InvariantCulture, $"  {w.When:yyyy-MM-dd HH:mm}Z, by {w.Channel}: {(w.Yes ? "yes" : "no")} to {w.About}{(w.Amount is { } a ? $", {a:0.00} {w.Currency}" : "")}"));
        if (s.Agreement.Ceiling is { } ceiling) Console.WriteLine(Row("  Agreed ceiling", ceiling));
        foreach (var open in s.Agreement.Unagreed) Console.WriteLine($"  Needs a new word: {open}");
    }
}
