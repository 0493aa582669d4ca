using System.CommandLine;
using System.Globalization;
using System.Text.Json;
using Bellwire.Counsel;
using Bellwire.Workshop;

namespace Bellwire.App.Cli;

/// <summary><c>weigh</c>: what the tape makes of a set.</summary>
internal static class WeighCommand
{
    public static Command Build()
    {
        var data = DataPath.Option();
        var what = new Argument<string>("job-or-file") { Description = "A job of the shop, or a case file (docs/cli.md)." };
        var json = new Option<bool>("--json") { Description = "The whole advice as JSON." };
        var ahead = new Option<double>("--ahead") { Description = "Seconds to look further ahead from the leading moves, 0 (not at all) to 600.", DefaultValueFactory = _ => 4 };
        var command = new Command("weigh", "Suspects, fault sets, causes and next moves of a job or a case file.") { what, data, json, ahead };
        command.SetAction((parsed, stop) => Failing.Plainly(() =>
        {
            if (parsed.GetValue(ahead) is not (>= 0 and <= 600)) return Failing.Say($"--ahead {parsed.GetValue(ahead).ToString(CultureInfo.InvariantCulture)}: seconds from 0 to 600", 2);
            if (!JobOrFile.Try(parsed.GetValue(what)!, parsed.GetValue(data)!, explained: false, TimeSpan.FromSeconds(parsed.GetValue(ahead)), stop, out var asked, out var code)) return code;
            var advice = asked!.Advice;
            if (parsed.GetValue(json)) Console.WriteLine(JsonSerializer.Serialize(advice, JsonOutput));
            else Print(advice);
            return 0;
        }));
        return command;
    }

    private static readonly JsonSerializerOptions JsonOutput = new(ActKinds.Json) { WriteIndented = true, IncludeFields = true };

    private static void Print(Advice a)
    {
        static string Share(double p) => p.ToString("P1", CultureInfo.InvariantCulture);
        Say($"{a.SheetTitle}{(a.GeneralOdds ? " (general odds)" : "")}", 0);
        Say($"Advice: {a.StoppingWord}", 2);
        foreach (var stop in a.Stops) Say($"{char.ToUpperInvariant(stop.Word[0])}{stop.Word[1..]}: {stop.Because}", 2);
        foreach (var warning in a.Warnings) Say($"Mind: {warning}", 2);
        Section("Suspects", a.Suspects.Take(10).Select(s => $"{Share(s.Probability),7}  {s.Name} ({s.OwnedBy}): {s.Word}{(s.Modes.IsEmpty ? "" : " – " + string.Join(", ", s.Modes.Take(3).Select(m => $"{m.Mode} {Share(m.P)}")))}"));
        Section("Fault sets", a.FaultSets.Take(8).Select(f => $"{Share(f.Probability),7}  {f.Words}"));
        Section("Was, and is no longer", a.GoneSince.Select(g => "  " + g));
        Section("Causes", a.Causes.Select(c => $"{Share(c.Probability),7}  {c.Name}"));
        if (a.Afar is { } afar)
        {
            Section("Ask the owner", afar.Questions.Select(q => string.Create(CultureInfo.InvariantCulture, $"  {q.Words} – spares {q.SavesMinutes:0.#} min. {q.Why}")));
            Section($"To send{(afar.NoParcel is { } none ? $" ({Bellwire.Quantities.Words.Band(Math.Clamp(none, 0, 1))} that nothing needs to travel)" : "")}", afar.Send.Select(s => $"  {(s.Send ? "pack" : "keep")}: {s.Piece} – {s.Why}"));
        }
        if (a.Ahead is { Moves.Length: > 0 } far)
            Section(string.Create(CultureInfo.InvariantCulture, $"Further ahead ({far.Depth} acts{(far.Whole ? ", every way to its end" : "")}): until a passed proof"),
                far.Moves.Select(m => string.Create(CultureInfo.InvariantCulture, $"  {m.Minutes,5:0} min, {m.Minutes / 60 * far.Hourly,5:0} {far.Currency}  {m.Words}")));
        foreach (var bundle in a.Moves.Take(4))
            Section($"Next: {bundle.Title}{(bundle.SetUpMinutes > 0 ? string.Create(CultureInfo.InvariantCulture, $" (set-up {bundle.SetUpMinutes:0} min)") : "")}",
                bundle.Moves.Take(5).Select(m => string.Create(CultureInfo.InvariantCulture, $"  {m.Words} – {m.Minutes:0.#} min, {m.GainWord}. {m.Why}{(m.Risk.Length > 0 ? $" Risk: {m.Risk}." : "")}{(m.Refusal is null ? "" : $" Barred: {m.Refusal}")}")));
        Section("Surprises", a.Tape.Where(t => t.Surprising).Select(t => $"  #{t.Number} {t.Words}"));
        Section("Not testable here, never seen", a.NeverSeen.Select(n => "  " + n));
    }

    private static void Section(string title, IEnumerable<string> lines)
    {
        var list = lines.ToList();
        if (list.Count == 0) return;
        Console.WriteLine();
        Say(title, 2);
        // A share stands in the first seven columns: what is broken off hangs under the words.
        foreach (var line in list) Say(line, line.Contains('%') ? 9 : 4);
    }

    private static void Say(string line, int indent)
    {
        foreach (var part in Wrapped.Lines(line, Wrapped.Width, indent)) Console.WriteLine(part);
    }
}
