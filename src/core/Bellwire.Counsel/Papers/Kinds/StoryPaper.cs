using System.Collections.Immutable;
using System.Globalization;
using Bellwire.Sheets;
using Bellwire.Workshop;
using static Bellwire.Counsel.Papers.Say;

namespace Bellwire.Counsel.Papers;

/// <summary>Case story: what there was to learn, with nobody in it. Only words of the sheet, numbers and days elapsed stand in it –
/// nothing anybody typed, no name, no label, no date, no photograph.</summary>
internal sealed record StoryPaper() : PaperKind("story", "Case story", "What there was to learn from this set, with nobody’s name, words or dates in it; worth publishing.", 11)
{
    public override Paper Compose(PaperFacts f)
    {
        var lines = f.Advice.Tape.ToDictionary(t => t.EntryId);
        return new(Id, "Case story", new([], null, [], f.Sheet.Title, null), [.. Blocks()], "Written from the tape of one set; names, words, labels and dates are left out.");

        IEnumerable<Block> Blocks()
        {
            yield return Heading("The story");
            var told = f.Acts.OfType<OwnerTold>().Select(t => Said(f.Sheet, t.Check, t.Outcome)).OfType<string>().Distinct().ToList();
            var causes = f.Acts.OfType<CauseTold>().Where(c => c.Happened == true).Select(c => f.Sheet.Family.Causes.FirstOrDefault(x => x.Id == c.Cause)?.Name).OfType<string>().Distinct().ToList();
            yield return told.Count == 0 ? Words("The owner’s story named no function.") : Points(told);
            if (causes.Count > 0) yield return Words("Behind it, as told: " + string.Join(", ", causes.Select(c => c.ToLowerInvariant())) + ".");
            var came = f.State.Pieces.Values.Count(p => p.Job == f.Job && p.Owner == Party.OwnerOf(f.Job) && p.Where.Place != Places.House);
            yield return Heading("What was looked at, in order");
            yield return Words($"{(came == 1 ? "One piece" : $"{came} pieces")} came; everything else stayed in the house.");
            var steps = f.State.TapeOf(f.Job).Select(e => (Words: Step(f, e), Line: lines.GetValueOrDefault(e.Id), Day: Day(f, e))).Where(s => s.Words is not null).ToList();
            if (steps.Count == 0) yield return Words("Nothing yet.");
            else yield return Table([Num("Day"), Txt("What"), Txt("What it told")], steps.Select(s => Row(s.Day, s.Words, Weighed(f, s.Line))));
            yield return Heading("What it was");
            var mends = f.Acts.OfType<Mended>().Select(m => Mend(f, m)).Distinct().ToList();
            yield return mends.Count == 0 ? Words("Nothing was mended.") : Points(mends.Select(Upper));
            if (f.Of.Ending is { } ending && Law.Endings.Contains(ending)) yield return Words($"Ending: {ending}.");
            var most = f.Advice.Tape.Where(t => Math.Abs(t.WeightDecibans) >= 3).OrderByDescending(t => Math.Abs(t.WeightDecibans))
                .Select(t => f.State.ById.TryGetValue(t.EntryId, out var e) ? Step(f, e) : null).OfType<string>().Distinct().Take(3).ToList();
            if (most.Count > 0)
            {
                yield return Heading("What told most");
                yield return Points(most);
            }
            if (TestSheetPaper.Strips(ReadingHistory.Of(f.State, f.Job), f.Sheet, f.Good) is { Length: > 0 } strips)
                yield return new Block.Strips("Readings: ring as received, dot at the end, grey bar where they belong.", strips);
            yield return Caution("Told for those who do this work. " + LocalRules);
        }
    }

    private static string Day(PaperFacts f, Entry e) => Math.Max(0, ((e.Done ?? e.Entered) - f.Of.Opened).Days).ToString(CultureInfo.InvariantCulture);

    /// <summary>An entry in the sheet's words, or null when the sheet has none for it.</summary>
    private static string? Step(PaperFacts f, Entry e) => e.Act switch
    {
        Checked c => Said(f.Sheet, c.Check, c.Outcome),
        GridChecked g => Grid(f.Sheet, g),
        ReadingTaken r when f.Sheet.Points.FirstOrDefault(p => p.Id == r.Point) is { } point => $"{point.Words}: {N(r.Value)} {UnitOf(r.Quantity)}",
        Fitted x when f.Sheet.Positions.FirstOrDefault(p => p.Id == x.Position) is { } at => f.State.Pieces.GetValueOrDefault(x.Piece)?.Owner == Party.Shop ? $"A good one tried as {at.Name.ToLowerInvariant()}" : $"{at.Name} fitted",
        Pulled x when f.Sheet.Positions.FirstOrDefault(p => p.Id == x.Position) is { } at => $"{at.Name} pulled",
        Reseated x when f.Sheet.Positions.FirstOrDefault(p => p.Id == x.Position) is { } at => $"{at.Name} unplugged and plugged again",
        Powered p => p.Feed is "limited" or "lamp" or "line" ? $"Power on, {ReadUnder.FeedWord(p.Feed)}" : null,
        Mended m => "Mended: " + Mend(f, m),
        Proved p when f.Sheet.Proof.FirstOrDefault(s => s.Id == p.Function) is { Point: not null } step && p.Value is { } v => $"Proved: {step.Words}, {N(v)} {step.Unit}",
        _ => null,
    };

    private static string? Said(TypeSheet sheet, string check, string outcome) =>
        sheet.Checks.FirstOrDefault(c => c.Id == check) is { } spec && spec.Outcomes.Contains(outcome) ? $"{spec.Words}: {spec.Says.GetValueOrDefault(outcome) ?? outcome.Replace('-', ' ')}" : null;

    private static string Grid(TypeSheet sheet, GridChecked g)
    {
        var known = g.Outcomes.Where(o => sheet.Checks.Any(c => c.Id == o.Key && c.Outcomes.Contains(o.Value))).OrderBy(o => o.Key, StringComparer.Ordinal).ToList();
        var bad = known.Where(o => sheet.Checks.First(c => c.Id == o.Key).Outcomes[0] != o.Value).Select(o => Said(sheet, o.Key, o.Value)!).ToList();
        return $"{known.Count} functions tried" + (bad.Count == 0 ? ", all good" : ", all good except " + string.Join("; ", bad));
    }

    private static string Mend(PaperFacts f, Mended m)
    {
        var kind = m.Piece is { } piece ? f.State.Pieces.GetValueOrDefault(piece)?.Kind : null;
        return f.Sheet.Faults.FirstOrDefault(x => x.Site == m.Site && x.Words == m.What && (m.Position is null ? x.Kind == kind : x.Position == m.Position))?.Words
            ?? f.Sheet.Family.Kinds.FirstOrDefault(k => k.Id == kind)?.Sites.FirstOrDefault(s => s.Id == m.Site)?.Name
            ?? f.Sheet.Family.Positions.FirstOrDefault(p => p.Id == m.Position)?.Sites.FirstOrDefault(s => s.Id == m.Site)?.Name
            ?? "something the sheet has no word for";
    }

    /// <summary>What an entry weighed, about whom: a suspect is named by its position only.</summary>
    private static string Weighed(PaperFacts f, TapeLine? line)
    {
        if (line is null || line.AboutSuspect is null || Math.Abs(line.WeightDecibans) < 3) return "";
        var about = f.Sheet.Positions.FirstOrDefault(p => line.AboutSuspect.StartsWith(p.Name, StringComparison.Ordinal))?.Name.ToLowerInvariant();
        return about is null ? "" : $"{line.WeightWord} the {about}";
    }

    private static string UnitOf(string quantity) => Unit(quantity) is var unit && unit == quantity ? "" : unit;
}
