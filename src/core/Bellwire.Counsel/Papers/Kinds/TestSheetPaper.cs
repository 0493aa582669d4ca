using System.Collections.Immutable;
using System.Globalization;
using Bellwire.Sheets;
using Bellwire.Workshop;
using static Bellwire.Counsel.Papers.Say;

namespace Bellwire.Counsel.Papers;

/// <summary>Test sheet: readings under their conditions against limits and good sets, functions before and after, the proof, the gates.</summary>
internal sealed record TestSheetPaper() : PaperKind("test", "Test sheet", "Readings under their conditions, limits, before and after; every function shown.", 4)
{
    public override Paper Compose(PaperFacts f)
    {
        var read = ReadingHistory.Of(f.State, f.Job);
        var proof = ProofPlan.Of(f.State, f.Job, f.Sheet);
        return f.Write(Id, Title, f.Letter(), Blocks());

        IEnumerable<Block> Blocks()
        {
            if (Strips(read, f.Sheet, f.Good) is { Length: > 0 } strips)
            {
                yield return Heading("Rails and other readings, as received and now");
                yield return new Block.Strips("The grey bar is where the reading belongs; the thin bracket is where good sets read; a ring is as received, a dot is now.", strips);
            }
            if (read.Length > 0)
            {
                yield return Heading("Every reading, in its order");
                yield return Table([Txt("Where"), Num("Read"), Txt("Belongs"), Txt("Good sets"), Txt("Under"), Txt("When")], read.Select(r =>
                {
                    var point = f.Sheet.Points.FirstOrDefault(p => p.Id == r.Reading.Point);
                    var written = Ground.AsWritten(Ground.IsPositive(f.State, f.Job), r.Reading.Quantity, r.Reading.Value);
                    var word = point is not null && RailLadder.Word(point, written) is ("low" or "high") and var off ? " " + off : "";
                    return Row(f.PointName(r.Reading.Point), Read(r.Reading.Value, r.Reading.Quantity) + word, Limits(point), f.Good?.At(r.Reading.Point, r.Reading.Quantity, r.Alike)?.Words(Unit(r.Reading.Quantity)) ?? "–",
                        r.Words, r.At.ToString("d MMM HH:mm", CultureInfo.InvariantCulture) + (r.Stale ? ", before a change" : ""));
                }));
            }
            var audit = FunctionAudit.Of(f.State, f.Job, f.Sheet).Where(l => (l.AsReceived ?? l.Now ?? l.Told) is not null).ToList();
            if (audit.Count > 0)
            {
                yield return Heading("Functions, before and after");
                yield return Table([Txt("Function"), Txt("As told"), Txt("As received"), Txt("Now"), Txt("")], audit.Select(l => Row(l.Function.Words, l.Told ?? "–", l.AsReceived ?? "not tried", l.Now ?? "not tried", l.Word)));
            }
            if (proof.Lines.Length > 0)
            {
                yield return Heading("Final check");
                yield return Words(proof.Complete ? "Every step of the final check was shown." : $"{proof.Tried} of {proof.Lines.Length} steps were tried. What was not shown stands as not shown.");
                yield return Table([Txt("Step"), Txt("Limits"), Txt("Result"), Txt("By")], proof.Lines.Select(l => Row(l.Step.Words, l.Limits,
                    (l.Outcome ?? "not shown") + (l.Value is { } v ? $": {N(v)} {l.Step.Unit}" : "") + (l.Within == false ? ", outside its limits" : ""), ByWord(l.By, l.Outcome))));
            }
            var gates = f.Acts.OfType<GateAnswered>().ToList();
            if (gates.Count > 0)
            {
                yield return Heading("Before power, hands and good pieces");
                yield return Table([Txt("Asked"), Txt("Answer")], gates.Select(g => Row(f.Sheet.Gates.FirstOrDefault(x => x.Id == g.Gate)?.Words ?? g.Gate,
                    (g.Passed ? "done" : "not passed") + (g.Value is { } v ? $", {N(v)}" : "") + (g.OverrideReason is { Length: > 0 } why ? $"; passed over: {why}" : ""))));
            }
            if (!f.Overrides.IsEmpty)
            {
                yield return Heading("Done against the advice, because");
                yield return Points(f.Overrides);
            }
            yield return Caution("The set was tried on the bench. Its wires, transformer and stations in the house were not, unless they are named here. Values are those of the day it left. " + LocalRules);
        }
    }

    /// <summary>Who showed it: what an owner showed by his word is marked as such.</summary>
    private static string ByWord(string? by, string? outcome) => outcome is null ? "" : ProofPlan.IsByOwner(by) ? "by owner’s word" : "bench";

    /// <summary>One strip a point that was read and has limits or good sets: first reading, last reading that still holds.</summary>
    internal static ImmutableArray<Strip> Strips(ImmutableArray<ReadUnder> read, TypeSheet sheet, GoodSetChart? good) =>
        [.. from p in sheet.Points
            let here = read.Where(r => r.Reading.Point == p.Id && r.Reading.Quantity == p.Quantity && double.IsFinite(r.Reading.Value)).ToList()
            where here.Count > 0
            let normal = good?.At(p.Id, p.Quantity, here[^1].Alike)
            where p.Low is not null || p.High is not null || normal is not null
            let now = here.LastOrDefault(r => !r.Stale)
            let expected = normal?.Normal.Expected
            select new Strip(p.Words, Unit(p.Quantity), p.Low, p.High, here[0].Reading.Value, now?.Reading.Value,
                expected?.Low, expected?.High)];
}
