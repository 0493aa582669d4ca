using System.CommandLine;
using System.Globalization;
using System.Text.Json;
using Bellwire.App.Desks;
using Bellwire.App.Web;
using Bellwire.Circuits;
using Bellwire.Counsel;
using Bellwire.Sheets;
using Bellwire.Workshop;

namespace Bellwire.App.Cli;

/// <summary><c>predict</c>: what every trouble of a sheet's circuits would read.</summary>
internal static class PredictCommand
{
    public static Command Build()
    {
        var what = new Argument<string>("sheet") { Description = "A type sheet: the name of a shipped one, or a file." };
        var circuit = new Option<string?>("--circuit") { Description = "One circuit of it; left out, all." };
        var pairs = new Option<bool>("--pairs") { Description = "Pairs of troubles too." };
        var json = new Option<bool>("--json") { Description = "Means and spans as JSON." };
        var svg = new Option<string?>("--svg") { Description = "Write the wave at --at, healthy and with --with, here." };
        var at = new Option<string?>("--at") { Description = "A point of the circuit, for --svg." };
        var with = new Option<string?>("--with") { Description = "A trouble as the table names it in the circuit, for --svg." };
        var line = new Option<double?>("--line") { Description = "Line volts, RMS, where they are not the sheet's; circuits without a line are left out." };
        var foreign = new Option<string?>("--foreign") { Description = "Try a foreign supply instead, such as \"24 V AC 2 ohm\"; \"usual\" for the usual ones." };
        var between = new Option<string?>("--between") { Description = "The terminal it is tied to, for --foreign." };
        var command = new Command("predict", "What every trouble of a sheet's circuits would read at its points, and what no point tells apart.") { what, circuit, pairs, json, svg, at, with, line, foreign, between };
        command.SetAction((parsed, stop) => Failing.Plainly(() =>
        {
            if (!SheetNamed.Try(parsed.GetValue(what)!, out var sheet, out var code)) return code;
            var wanted = parsed.GetValue(circuit);
            if (parsed.GetValue(foreign) is { } source) return Tie(sheet!, wanted, source, parsed.GetValue(between), parsed.GetValue(json), stop);
            var circuits = sheet!.Circuits.Where(c => wanted is null || c.Id == wanted).ToList();
            if (circuits.Count == 0) return Failing.Say(wanted is null ? $"{sheet.Id} describes no circuit" : $"--circuit {wanted}: {sheet.Id} has {(sheet.Circuits.IsEmpty ? "none" : string.Join(", ", sheet.Circuits.Select(c => c.Id)))}", 1);
            circuits = [.. circuits.Where(c => !c.Points.IsEmpty)];
            if (circuits.Count == 0) return Failing.Say($"{wanted ?? sheet.Id}: no point stands there, so nothing is foretold", 1);
            if (parsed.GetValue(line) is { } volts)
            {
                circuits = [.. circuits.Where(c => LineVolts.SourceOf(c) is not null)];
                if (circuits.Count == 0) return Failing.Say($"--line: no circuit of {wanted ?? sheet.Id} has a line", 2);
                try { circuits = [.. circuits.Select(c => LineVolts.Fed(c, volts))]; }
                catch (ArgumentException e) { return Failing.Say($"--line: {e.Message}", 2); }
            }
            var all = circuits.Select(c => (Circuit: c, Forecast: CircuitForecast.Build(c, sheet.Points, Telling.Of(), stop))).ToList();
            Telling.End();
            if (parsed.GetValue(svg) is { } picture) return Draw(picture, all, parsed.GetValue(at), parsed.GetValue(with));
            if (parsed.GetValue(json)) Console.WriteLine(JsonSerializer.Serialize(all.Select(x => Figures(sheet, x.Circuit, x.Forecast, parsed.GetValue(pairs))), Indented));
            else foreach (var (c, f) in all) Print(sheet, c, f, parsed.GetValue(pairs));
            return 0;
        }));
        return command;
    }

    private static readonly JsonSerializerOptions Indented = new(ActKinds.Json) { WriteIndented = true };

    private static int Tie(TypeSheet sheet, string? circuit, string source, string? terminal, bool json, CancellationToken stop)
    {
        var places = ForeignPlaces.Of(sheet).Where(p => circuit is null || p.Circuit.Id == circuit).ToList();
        if (places.FirstOrDefault(p => p.Id == terminal) is not { } place) return Failing.Say($"--between {terminal ?? "(missing)"}: terminals are {(places.Count == 0 ? "none" : string.Join(", ", places.Select(p => p.Id)))}", 2);
        var why = "";
        ForeignSource[] sources = source == "usual" ? [.. ForeignSource.Usual] : ForeignSource.Parse(source, out why) is { } one ? [one] : [];
        if (sources.Length == 0) return Failing.Say($"--foreign: {why}", 2);
        var tried = sources.Select(s => ForeignTrial.Try(sheet, place.Circuit, place.From, place.To, s, cancel: stop)).ToList();
        if (json)
        {
            Console.WriteLine(JsonSerializer.Serialize(tried.Select(o => new { Terminal = place.Id, Source = o.Source.Named, o.Says, Hurt = o.Hurt.Select(h => new { h.Part, h.What, h.Sites, h.HowMuch, h.When, h.AtSeconds, h.Worst, Ends = h.Ends.Select(e => new { e.Ending, e.AtSeconds, e.Reckoned }) }), o.Order, o.Margin, o.Breaks, o.Unjudged, o.Failure }), Indented));
            return 0;
        }
        foreach (var o in tried)
        {
            Say($"{o.Source.Named}, on {place.Words}: {o.Says}");
            foreach (var h in o.Hurt) Say($"  {h.Words}");
            if (o.Order.Length > 1) Say($"  One after another: {string.Join("; ", o.Order)}.");
            if (o.Margin is { } margin) Say($"  {margin}");
            if (o.Breaks is { } breaks) Say($"  {breaks}");
            Console.WriteLine();
        }
        foreach (var caution in ForeignTrial.Cautions) Say(caution);
        return 0;

        static void Say(string line)
        {
            foreach (var part in Wrapped.Lines(line, Wrapped.Width, 4)) Console.WriteLine(part);
        }
    }

    private static IEnumerable<string> StatesOf(CircuitForecast f, bool pairs) =>
        f.States.Where(s => pairs || s == "good" || f.Spec.Troubles.Any(t => t.Words == s));

    private static object Figures(TypeSheet sheet, CircuitSpec c, CircuitForecast f, bool pairs) => new
    {
        Circuit = c.Id, c.Words, c.Feeds, Draws = CircuitForecast.Draws,
        States = StatesOf(f, pairs).Select(s => new { State = s, Words = TroubleWords.Of(sheet, c, s), Readings = f.At(s).Select(e => new { e.Point, Quantity = sheet.Points.First(p => p.Id == e.Point).Quantity, e.Mean, e.Low, e.High, e.Means }) }),
        f.Unsolved,
        Alike = f.Alike().Select(a => new { Rows = a.Rows.Select(r => f.Singles.Rows[r].Words), SplitBy = a.Splits?.Name, a.Into }),
    };

    private static void Print(TypeSheet sheet, CircuitSpec c, CircuitForecast f, bool pairs)
    {
        Console.WriteLine($"{c.Words}, {TroubleWords.Under(c)}: nine sets in ten lie within the span");
        foreach (var s in StatesOf(f, pairs))
        {
            Console.WriteLine($"\n  {TroubleWords.Of(sheet, c, s)}{(s == "good" ? "" : $"  [{s}]")}");
            foreach (var e in f.At(s))
            {
                var quantity = sheet.Points.First(p => p.Id == e.Point).Quantity;
                Console.WriteLine(string.Create(CultureInfo.InvariantCulture, $"    {e.Point,-16}{string.Join(" or ", e.Means.Select(m => Quantities.Units.Reading(m, quantity)).Distinct()),14}   {Quantities.Units.Reading(e.Low, quantity)} to {Quantities.Units.Reading(e.High, quantity)} {Quantities.Units.Of(quantity)}"));
            }
        }
        foreach (var a in f.Alike())
            Console.WriteLine($"\n  No point tells apart: {string.Join(", ", a.Rows.Select(r => f.Singles.Rows[r].Words))}. {(a.Splits is { } p ? $"A reading at {p.Name} would part them into {a.Into}." : "No node of the circuit would.")}");
    }

    private static int Draw(string picture, List<(CircuitSpec Circuit, CircuitForecast Forecast)> all, string? at, string? with)
    {
        foreach (var (circuit, forecast) in all)
        {
            if (circuit.Points.FirstOrDefault(p => p.Point == at) is not { } point) continue;
            var row = forecast.Singles.Rows.FirstOrDefault(r => with is null ? r.Faults.IsEmpty : r.Words == with);
            if (row is null) return Failing.Say($"--with {with}: this circuit has {string.Join("; ", forecast.Singles.Rows.Skip(1).Select(r => r.Words))}", 2);
            if (circuit.Unpowered || !circuit.Netlist.Alternates) return Failing.Say($"--at {at}: {(circuit.Unpowered ? "it is read without power" : "nothing alternates in that circuit")}, so there is no wave", 2);
            if (CircuitPlots.Wave(circuit, point, row.Faults, row.Words) is not { } plot) return Failing.Say("the circuit finds no solution there", 1);
            File.WriteAllText(picture, plot.Svg());
            return 0;
        }
        return Failing.Say($"--at {at ?? "(missing)"}: points are {string.Join(", ", all.SelectMany(x => x.Circuit.Points.Select(p => p.Point)))}", 2);
    }

    /// <summary>Progress on a terminal; nothing where standard error is no terminal.</summary>
    internal sealed class Telling : IProgress<ForecastProgress>
    {
        public static Telling? Of() => Console.IsErrorRedirected ? null : new();
        public void Report(ForecastProgress value) => Console.Error.Write($"\r{value.Done} of {value.Of} reckoned");
        public static void End() { if (!Console.IsErrorRedirected) Console.Error.Write("\r                              \r"); }
    }
}
