using System.Collections.Immutable;
using Bellwire.Sheets;
using Bellwire.Workshop;

namespace Bellwire.Counsel;

/// <summary>A gate's answer. Human safety is never priced: a refusal bars the move or demands a logged override.</summary>
/// <param name="Words">Null when the way is free.</param>
public sealed record GateAnswer(bool Allowed, string? Words, bool Overridable, ImmutableArray<string> Missing)
{
    public static GateAnswer Free { get; } = new(true, null, false, []);
}

/// <summary>The gates of the safety rules, kept before an act is put to the journal.</summary>
public static class GateKeeper
{
    private static readonly TimeSpan Sitting = TimeSpan.FromHours(12);

    public static ImmutableArray<GateLine> Lines(ShopState state, string job, TypeSheet sheet)
    {
        var tape = state.TapeOf(job).ToList();
        return [.. sheet.Gates.Select(g => (Gate: g, Answer: Answer(g, sheet, tape))).Select(x => new GateLine(x.Gate.Id, x.Gate.Words, x.Gate.Before, x.Answer.Passed, x.Answer.Why))];
    }

    /// <summary>May this act be put to the journal?</summary>
    public static GateAnswer Check(ShopState state, string job, TypeSheet sheet, Act act)
    {
        ArgumentNullException.ThrowIfNull(act);
        if (!state.Jobs.ContainsKey(job)) return GateAnswer.Free;
        var tape = state.TapeOf(job).ToList();
        return act switch
        {
            Powered { OverrideReason: { Length: > 0 } } or Fitted { OverrideReason: { Length: > 0 } } => GateAnswer.Free,
            Powered p when p.Feed != "off" => Powering(state, sheet, tape, p),
            Checked c when IsPowered(state, sheet, c) && IsOwnersSet(state, job, c.System) && !tape.Any(e => e.Act is Powered) => Before(sheet, tape, "power", "Before the first power"),
            Fitted f => Fitting(state, job, sheet, tape, f),
            _ => GateAnswer.Free,
        };
    }

    private static bool IsOwnersSet(ShopState state, string job, string system) => state.Systems.GetValueOrDefault(system)?.Job == job;

    private static bool IsPowered(ShopState state, TypeSheet sheet, Checked c) => sheet.Checks.FirstOrDefault(x => x.Id == c.Check)?.Powered == true;

    private static GateAnswer Powering(ShopState state, TypeSheet sheet, List<Entry> tape, Powered p)
    {
        if (state.Systems.GetValueOrDefault(p.System)?.Job is null) return GateAnswer.Free;
        var before = Before(sheet, tape, "power", "Before power");
        if (!before.Allowed) return before;
        if (p.Feed != "line" || tape.Any(e => e.Act is Powered { Feed: "lamp" or "limited" } earlier && earlier.System == p.System)) return GateAnswer.Free;
        var limiter = sheet.Era == "tube" ? "a series lamp (it does not isolate; bright then dim is normal for cold heaters)" : "current-limited DC into the raw rail, or a series lamp at the transformer";
        return new(false, $"First power goes through {limiter}, stations and doors lifted.", true, ["limited feed"]);
    }

    private static GateAnswer Fitting(ShopState state, string job, TypeSheet sheet, List<Entry> tape, Fitted f)
    {
        if (!state.Pieces.TryGetValue(f.Piece, out var piece) || piece.Owner != Party.Shop || !IsOwnersSet(state, job, f.System)) return GateAnswer.Free;
        var before = Before(sheet, tape, "fit", $"Before {piece.Name} goes in", piece.Kind);
        var others = state.Pieces.Values.Count(p => p.Kind == piece.Kind && p.Owner == Party.Shop && p.KnownGood && !p.Gone && p.Id != piece.Id && p.LentTo is null);
        if (piece.KnownGood && others == 0)
            return new(false, $"{piece.Name} ({piece.Id}) is the last good one of its kind.{(before.Words is null ? "" : " " + before.Words)} Try the suspect in the mule instead, or say why it is risked.", true, [.. before.Missing, "last good one"]);
        return before;
    }

    private static GateAnswer Before(TypeSheet sheet, List<Entry> tape, string moment, string words, string? kind = null)
    {
        var missing = sheet.Gates.Where(g => g.Before == moment && (kind is null || g.Kinds.IsDefaultOrEmpty || g.Kinds.Contains(kind)) && !Answer(g, sheet, tape).Passed).Select(g => g.Words).ToImmutableArray();
        return missing.IsEmpty ? GateAnswer.Free : new(false, $"{words}: {string.Join("; ", missing)}.", true, missing);
    }

    /// <summary>A gate before power is passed once for a sitting; one before fitting is asked anew after every change of the hook-up,
    /// for the rails a good piece will sit on are those of this hook-up's supply.</summary>
    private static (bool Passed, string? Why) Answer(GateSpec gate, TypeSheet sheet, List<Entry> tape)
    {
        var last = tape.Count == 0 ? DateTimeOffset.MinValue : tape.Max(e => e.Done ?? e.Entered);
        var since = 0;
        for (var i = 0; i < tape.Count; i++)
        {
            if (last - (tape[i].Done ?? tape[i].Entered) > Sitting) since = i + 1;
            if (gate.Before == "fit" && tape[i].Act is Fitted or Pulled or HookUpRepaired or Mended) since = i + 1;
            if (gate.Before == "power" && tape[i].Act is Mended or HookUpRepaired) since = i + 1;
        }
        foreach (var entry in tape.Skip(since).Reverse())
            switch (entry.Act)
            {
                case GateAnswered a when a.Gate == gate.Id:
                    return a.OverrideReason is { Length: > 0 } why ? (true, $"overridden: {why}") : a.Passed && Within(gate, a.Value) ? (true, null) : (false, "answered, and not passed");
                case ReadingTaken r when gate.Point is not null && r.Point == gate.Point:
                    return Within(gate, r.Value) && InLimits(sheet, r) ? (true, $"read: {r.Typed}") : (false, $"read {r.Typed}: not within its limits");
            }
        return (false, null);
    }

    private static bool Within(GateSpec gate, double? value) =>
        (gate.Below is not { } below || value is { } v && Math.Abs(v) < below) && (gate.Above is not { } above || value is { } u && u > above);

    private static bool InLimits(TypeSheet sheet, ReadingTaken reading) =>
        sheet.Points.FirstOrDefault(p => p.Id == reading.Point) is not { } p || ((p.Low is not { } low || reading.Value >= low) && (p.High is not { } high || reading.Value <= high));
}
