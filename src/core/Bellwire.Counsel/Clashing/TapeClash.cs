using System.Collections.Immutable;
using Bellwire.Quantities;
using Bellwire.Reasoning;
using Bellwire.Reasoning.Clashes;
using Bellwire.Sheets;
using Bellwire.Workshop;

namespace Bellwire.Counsel;

/// <summary>One entry of the tape that has part in a clash.</summary>
public sealed record ClashEntry(string EntryId, long Number, string Words);

/// <summary>One usual explanation.</summary>
/// <param name="Kind">slip, forgotten, contact, wrong-sheet or unknown-fault.</param>
/// <param name="Share">Its weight among the explanations found, 0..1; <paramref name="Band"/>: the same in words.</param>
/// <param name="ToDo">What settles it.</param>
public sealed record ClashReason(string Kind, string Words, double Share, string Band, string ToDo, ImmutableArray<ClashEntry> Entries);

/// <summary>What is behind a tape that cannot, or can hardly, have happened.</summary>
/// <param name="At">The entry at which it becomes implausible; null when it is plausible throughout.</param>
/// <param name="Smallest">Smallest sets of entries without which it is plausible.</param>
/// <param name="Whole">False when the allowance of weighings ran out: sets may be missing.</param>
public sealed record ClashFinding(ClashEntry? At, ImmutableArray<ImmutableArray<ClashEntry>> Smallest, ImmutableArray<ClashReason> Reasons, bool Whole);

/// <summary>Progress of the search: weighings done, of at most so many.</summary>
public readonly record struct ClashProgress(int Done, int Of);

/// <summary>Reasoning's clash report in the words of the bench. An entry counts as implausible from the surprise on that marks it on the tape.</summary>
public static class TapeClash
{
    /// <summary>Nats; as the tape's own mark.</summary>
    internal const double Limit = 3;

    /// <summary>Explanations with less weight than this are not shown.</summary>
    private const double LeastShare = 0.01;
    private const int MostReasons = 8;

    /// <param name="text">Reads an erasable text; null when it was erased.</param>
    /// <exception cref="OperationCanceledException">It was given up.</exception>
    public static ClashFinding Explain(ShopState state, string job, TypeSheet sheet, Func<Personal, string?> text, AdviceOptions? options = null, IProgress<ClashProgress>? progress = null, CancellationToken cancel = default)
    {
        ArgumentNullException.ThrowIfNull(state);
        ArgumentNullException.ThrowIfNull(sheet);
        var built = CaseBuilder.From(state, job, sheet, options?.Forecasts);
        var asked = new ClashOptions(Limit: Limit);
        var report = Clash.Explain(built.Case, asked with { Weighed = done => progress?.Report(new(done, asked.Weighings)) }, ct: cancel);
        var tape = state.TapeOf(job).ToDictionary(e => e.Id);
        var names = new Namer(state, sheet, built);
        return new(report.Entry is { } at ? Entry(at) : null, [.. report.Smallest.Select(s => s.Select(Entry).OrderBy(e => e.Number).ToImmutableArray())],
            [.. report.Explanations.Where(e => e.Share >= LeastShare).Take(MostReasons).Select(Reason)], report.Whole);

        ClashEntry Entry(string id) => tape.TryGetValue(id, out var e) ? new(id, e.Number, TapeWords.Of(state, sheet, e, text)) : new(id, 0, "what the owner’s house did to it");

        ClashReason Reason(Bellwire.Reasoning.Clashes.Explanation x)
        {
            ImmutableArray<ClashEntry> entries = [.. x.Entries.Select(Entry).OrderBy(e => e.Number)];
            var which = entries.Length == 1 ? $"Entry {entries[0].Number}" : $"Entries {string.Join(", ", entries.Select(e => e.Number))}";
            var before = report.Entry is { } last && tape.TryGetValue(last, out var l) ? $"before entry {l.Number}" : "";
            var (kind, words, toDo) = x.Kind switch
            {
                ClashKind.Slip => ("slip", entries.Length == 1 ? $"{which} is a slip: misread, mistyped, or the wrong point" : $"{which} are slips: misread, mistyped, or the wrong point", "Look again; strike out what was wrong."),
                ClashKind.Forgotten => ("forgotten", $"Something was done {before} and not entered: {Done(x.About)}", "Enter it as a late entry, where it belongs."),
                ClashKind.Contact => ("contact", $"The connector of {names.PositionName(x.About)} made or lost contact by itself {before}", "Reseat it, enter that, and look again."),
                ClashKind.WrongSheet => ("wrong-sheet", $"The sheet is wrong about {Signal(x.About)}: {which} cannot be had from its rules", "Measure it on a good set; put the sheet right."),
                _ => ("unknown-fault", $"A fault the sheet does not know lies behind {(entries.Length == 1 ? $"entry {entries[0].Number}" : $"entries {string.Join(", ", entries.Select(e => e.Number))}")}", "Go through the pieces these entries have in common, part by part."),
            };
            return new(kind, words, x.Share, Quantities.Words.Band(Math.Clamp(x.Share, 0, 1)), toDo, entries);
        }

        string Signal(string id) => sheet.Family.Signals.FirstOrDefault(s => s.Id == id)?.Name ?? id;

        // "selector=throw", or a site as the engine writes it.
        string Done(string about)
        {
            var parts = about.Split('=');
            if (parts is [var selector, var thrown] && sheet.Family.Selectors.FirstOrDefault(s => s.Id == selector) is { } s) return $"{s.Name} was turned to {thrown}";
            return Sites(built).FirstOrDefault(r => r.ToString() == about) is { } site ? $"{names.SiteName(site)} ({names.KeyName(site)}) was put right" : about;
        }
    }

    private static IEnumerable<SiteRef> Sites(BuiltCase built) =>
        built.Case.Pieces.SelectMany(p => built.Case.Family.Kinds.First(k => k.Id == p.Kind).Sites.Select(s => SiteRef.OfPiece(p.Id, s.Id)))
            .Concat(built.Case.Systems.SelectMany(s => built.Case.Family.Positions.SelectMany(p => p.Sites.Select(x => SiteRef.OfPosition(s.Id, p.Id, x.Id)))));
}
