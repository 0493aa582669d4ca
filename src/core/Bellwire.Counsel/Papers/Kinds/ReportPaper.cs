using System.Collections.Immutable;
using System.Globalization;
using Bellwire.Workshop;
using static Bellwire.Counsel.Papers.Say;

namespace Bellwire.Counsel.Papers;

/// <summary>Report to the owner, in plain words, with the hook-up drawn.</summary>
internal sealed record ReportPaper() : PaperKind("report", "Report", "For the owner, in plain words: what was wrong, what was done, what is heard now, and what to mind.", 5)
{
    public override Paper Compose(PaperFacts f)
    {
        var mends = f.Acts.OfType<Mended>().ToList();
        var audit = FunctionAudit.Of(f.State, f.Job, f.Sheet);
        return f.Write(Id, Title, f.Letter(), Blocks());

        IEnumerable<Block> Blocks()
        {
            yield return Words(Opening(f));
            var told = f.Acts.OfType<OwnerTold>().Select(t => (t.Check, t.Outcome)).Distinct().ToList();
            var stories = f.StoryWords.Take(1).ToList();
            if (told.Count > 0 || stories.Count > 0)
            {
                yield return Heading("What you told us");
                if (stories.Count > 0) yield return Words($"“{stories[0]}”");
                if (told.Count > 0) yield return Points(told.Select(t => $"{Function(f, t.Check)}: {Outcome(f, t.Check, t.Outcome)}"));
            }
            yield return Heading("What was wrong, and what was done");
            if (mends.Count == 0) yield return Words("Nothing was mended.");
            else yield return Points(mends.Select(m => Upper(m.What) + Where(f, m)));
            if (!f.Advice.GoneSince.IsEmpty) yield return Words("As the readings tell it: " + string.Join("; ", f.Advice.GoneSince) + ".");
            var parts = f.Acts.OfType<PartUsed>().ToList();
            if (parts.Count > 0) yield return Words("Parts used: " + string.Join(", ", parts.Select(p => p.Reason is { Length: > 0 } why ? $"{p.Part} ({why})" : p.Part)) + ".");
            var sold = f.Sold.ToList();
            if (sold.Count > 0) yield return Words("From our shelf, now yours: " + string.Join(", ", sold.Select(s => $"{(f.State.Pieces.TryGetValue(s.Piece, out var p) ? p.Name : s.Piece)} ({s.Piece})")) + ".");
            foreach (var photo in f.Acts.OfType<Photographed>().Where(p => p.Words is not null).GroupBy(p => p.ContentHash).Select(g => g.Last()).TakeLast(2))
                yield return new Block.Picture(photo.ContentHash, photo.MediaType, f.Text(photo.Words!.Value) ?? "", []);
            var tried = audit.Where(l => l.Good is not null).ToList();
            if (tried.Count > 0)
            {
                yield return Heading("What is heard now");
                yield return Table([Txt("Function"), Txt("As it came"), Txt("Now")], tried.Select(l => Row(l.Function.Words, l.AsReceived ?? l.Told ?? "not tried", l.Word)));
            }
            if (ComeAndGo.Of(f.State, f.Job, f.Sheet, f.Weighed) is { } comings && (f.Of.Ending == "no fault found" || comings.CleanHours > 0))
            {
                yield return Heading("What came and went");
                yield return Points(comings.ForOwner);
            }
            var not = audit.Where(l => l.Good is null).Select(l => l.Function.Words).ToList();
            if (not.Count > 0) yield return Words("Not tried here: " + string.Join(", ", not) + ".");
            yield return new Block.HookUp("Your set as it stands. What is dotted is in your house and was not seen.", [.. f.Advice.Drawing.Select(p => p with { Suspicion = 0, Word = "" })]);
            if (!f.Overrides.IsEmpty)
            {
                yield return Heading("Done against the advice, because");
                yield return Points(f.Overrides);
            }
            yield return Heading("What to mind");
            yield return Points(Advice(f).Take(3));
            yield return Caution(LocalRules);
            yield return Words("The numbers are on the test sheet, for whoever opens it next.");
        }
    }

    private static string Opening(PaperFacts f) => f.Of.Ending switch
    {
        "mended" => "Your set is mended and goes home.",
        "no fault found" => "Your set did all it should on our bench: no fault was found in what you sent. What troubled it is likely in the house.",
        "returned unsolved" => "Your set goes home unsolved. This is what we know of it.",
        "returned unsafe" => "Your set goes home, and it is not safe to connect. Please read why before anybody touches it.",
        "declined" => "Your set goes home as you wished, not mended.",
        "taken as donor" => "Your set stays here for its parts, as agreed.",
        null when f.Acts.OfType<Mended>().Any() => "This is where your set stands today. It is mended as far as told below.",
        null => "This is where your set stands today. It is not finished.",
        var other => $"Your set: {other}.",
    };

    private static string Function(PaperFacts f, string check) => f.Sheet.Functions.FirstOrDefault(x => x.Check == check)?.Words ?? f.Sheet.Checks.FirstOrDefault(c => c.Id == check)?.Words ?? check;
    private static string Outcome(PaperFacts f, string check, string outcome) => f.Sheet.Checks.FirstOrDefault(c => c.Id == check)?.Says.GetValueOrDefault(outcome) ?? outcome.Replace('-', ' ');
    private static string Where(PaperFacts f, Mended m) => m.Piece is { } piece && f.State.Pieces.TryGetValue(piece, out var p) ? $", in the {p.Name.ToLowerInvariant()}" : m.Position is { } at ? $", at the {f.PositionName(at).ToLowerInvariant()}" : "";

    /// <summary>What these causes ask of the owner, the told ones first.</summary>
    private static IEnumerable<string> Advice(PaperFacts f)
    {
        foreach (var line in RefitPaper.OfCauses(f)) yield return line;
        yield return "Call before anything is added to the set or its wires.";
        yield return "If something fails again: all rooms or one? Is the breaker on? Switch it off for five minutes, then try once more, before anything is posted.";
        yield return "Keep this report with the set: the values on the test sheet are what it left with.";
    }
}
