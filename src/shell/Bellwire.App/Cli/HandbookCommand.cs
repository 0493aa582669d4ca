using System.Collections.Immutable;
using System.CommandLine;
using Bellwire.App.Desks;
using Bellwire.Counsel;
using Bellwire.Counsel.Mends;

namespace Bellwire.App.Cli;

/// <summary><c>handbook</c>: a sum or a rule without a page.</summary>
internal static class HandbookCommand
{
    public static Command Build()
    {
        var which = new Argument<string?>("calculation") { Description = "Its word: fuse, wire, supply …; left out, all are listed.", Arity = ArgumentArity.ZeroOrOne };
        var values = new Argument<string[]>("field=value") { Description = "What is known, such as marked=\"T500mA L 250V\"; left out, the fields are listed.", Arity = ArgumentArity.ZeroOrMore };
        var command = new Command("handbook", "The calculations alone: supply, fuse, wire run, discharge, substitutes by rule.") { which, values };
        command.SetAction((parsed, stop) => Failing.Plainly(() => Run(parsed.GetValue(which), parsed.GetValue(values) ?? [], stop)));
        return command;
    }

    private static int Run(string? which, string[] values, CancellationToken stop)
    {
        if (which is null)
        {
            foreach (var c in Calculation.All) Console.WriteLine($"{c.Id,-16} {c.About}");
            return 0;
        }
        if (Calculation.Of(which) is not { } calculation) return Failing.Say($"there is no calculation {which}; there are {string.Join(", ", Calculation.All.Select(c => c.Id))}", 2);
        if (values.Length == 0) return Fields(calculation);
        var typed = new Dictionary<string, string>();
        foreach (var value in values)
        {
            var at = value.IndexOf('=');
            if (at < 1 || !calculation.Asks.Any(a => a.Id == value[..at])) return Failing.Say($"“{value}” is not field=value; the fields are {string.Join(", ", calculation.Asks.Select(a => a.Id))}", 2);
            typed[value[..at]] = value[(at + 1)..];
        }
        var (given, wrong) = calculation.Read(typed.GetValueOrDefault);
        if (wrong.Count > 0) return Failing.Say(string.Join(" ", wrong.OrderBy(w => w.Key, StringComparer.Ordinal).Select(w => $"{w.Key}: {w.Value}")), 2);
        var (trial, amiss) = calculation is MayConnectSum ? ConnectionCheck.Asked(given, SheetFolder.Shipped().All) : (null, ImmutableDictionary<string, string>.Empty);
        if (amiss.Count > 0) return Failing.Say(string.Join(" ", amiss.OrderBy(w => w.Key, StringComparer.Ordinal).Select(w => $"{w.Key}: {w.Value}")), 2);
        var finding = trial is null ? calculation.Answer(given) : Tried(given, trial, stop);
        Console.WriteLine(finding.Judgement == Judgement.DoesNotFit ? "Does not fit. " + finding.Says : finding.Says);
        foreach (var line in finding.Why) Console.WriteLine("  " + line);
        foreach (var line in finding.Cautions) Console.WriteLine("  Mind: " + line);
        foreach (var figure in finding.Figures) Console.WriteLine($"  {figure.Name}: {figure.Said}");
        return finding.Judgement is Judgement.DoesNotFit or Judgement.NoAdvice ? 1 : 0;
    }

    private static Finding Tried(Given given, ConnectionTrial trial, CancellationToken stop)
    {
        var (all, telling) = (new List<ForeignOutcome>(), PredictCommand.Telling.Of());
        foreach (var source in trial.Sources)
        {
            telling?.Report(new(all.Count, trial.Sources.Length, source.Named));
            all.Add(ForeignTrial.Try(trial.Sheet, trial.Place.Circuit, trial.Place.From, trial.Place.To, source, cancel: stop));
        }
        PredictCommand.Telling.End();
        var finding = ConnectionCheck.Answer(given, trial, all);
        var steps = all.Where(o => o.Order.Length > 1).Select(o => $"{o.Source.Named}, one after another: {string.Join("; ", o.Order)}.");
        return finding with { Why = [.. finding.Why, .. steps] };
    }

    private static int Fields(Calculation calculation)
    {
        Console.WriteLine($"{calculation.Title}: {calculation.About}");
        foreach (var ask in calculation.Asks)
            Console.WriteLine($"  {ask.Id,-12} {ask.Label}{(ask.Required ? ", needed" : "")}: {ask switch { NumberAsk n => n.Limits, ChoiceAsk c => string.Join(", ", c.Options.Select(o => o.Value.Length == 0 ? $"(nothing) {o.Word}" : $"{o.Value} {o.Word}")), _ => ask.Hint }}");
        return 0;
    }
}
