using System.Collections.Immutable;
using Bellwire.Sheets;
using Bellwire.Workshop;

namespace Bellwire.Counsel;

/// <param name="Outcome">Null = not tried yet.</param>
/// <param name="Within">For a reading: within its limits; null when nothing was read or no limits are known.</param>
public sealed record ProofLine(ProofStep Step, string? Outcome, double? Value, bool? Within, string? By, string Limits)
{
    /// <summary>Failed when it was last tried, and something was done to the set since: the first to be tried again.</summary>
    public bool FailedBefore { get; init; }

    /// <summary>How many steps were tried before it since the set was last changed; null: not tried.</summary>
    public int? Turn { get; init; }
}

/// <summary>The final check plan of this system and how far it has come.</summary>
public sealed record ProofPlan(ImmutableArray<ProofLine> Lines, int Tried, double MinutesLeft, bool Complete)
{
    /// <summary>By whom a step was shown that the owner tried at home.</summary>
    public const string OwnersWord = "owner's word";

    /// <summary>True for a step that the owner tried, not the bench; older tapes say “owner”.</summary>
    public static bool IsByOwner(string? by) => by is "owner" or OwnersWord;

    /// <summary>A mend or a change of hook-up after a step was shown undoes the showing.</summary>
    public static ProofPlan Of(ShopState state, string job, TypeSheet sheet)
    {
        var positive = Ground.IsPositive(state, job);
        var (shown, failed) = Standing(state.TapeOf(job).Select(e => e.Act));
        ImmutableArray<ProofLine> lines = [.. sheet.Proof.Select(step =>
        {
            var p = shown.GetValueOrDefault(step.Id);
            bool? within = p?.Value is { } read && Written(sheet, step, read, positive) is var v && (step.Low ?? step.High) is not null ? (step.Low is not { } low || v >= low) && (step.High is not { } high || v <= high) : null;
            return new ProofLine(step, p?.Outcome, p?.Value, within, p?.By, Limits(step)) { FailedBefore = p is null && failed.Contains(step.Id), Turn = shown.IndexOf(step.Id) is >= 0 and var turn ? turn : null };
        })];
        var open = lines.Where(l => l.Outcome is null).ToList();
        return new(lines, lines.Length - open.Count, open.Sum(l => l.Step.Minutes), open.Count == 0 && lines.All(l => l.Within != false && l.Outcome == "shown"));
    }

    /// <summary>What each step tried since the set was last changed came to, and the steps whose last try failed, changed since or not.</summary>
    internal static (OrderedDictionary<string, Proved> Tried, HashSet<string> Failed) Standing(IEnumerable<Act> tape)
    {
        var tried = new OrderedDictionary<string, Proved>();
        var failed = new HashSet<string>();
        foreach (var act in tape)
            if (act is Proved p)
            {
                tried[p.Function] = p;
                if (p.Outcome == "failed") failed.Add(p.Function);
                else failed.Remove(p.Function);
            }
            else if (act is Mended or Fitted or Pulled or HookUpRepaired) tried.Clear();
        return (tried, failed);
    }

    /// <summary>Why a showing may not stand as good, or null: a step with a reading wants one, within its limits. A failed step is always taken.</summary>
    /// <param name="positiveGround">The set's chassis is the plus: its rails read negative.</param>
    public static string? Complaint(TypeSheet sheet, Proved proved, bool positiveGround = false)
    {
        ArgumentNullException.ThrowIfNull(sheet);
        ArgumentNullException.ThrowIfNull(proved);
        if (proved.Outcome != "shown" || sheet.Proof.FirstOrDefault(s => s.Id == proved.Function) is not { } step) return null;
        if (proved.Value is not { } read) return step.Unit is null ? null : "Type the reading first.";
        var v = Written(sheet, step, read, positiveGround);
        return (step.Low is { } low && !(v >= low)) || (step.High is { } high && !(v <= high)) ? $"Outside its limits ({Limits(step)}): that is not shown good." : null;
    }

    private static double Written(TypeSheet sheet, ProofStep step, double read, bool positiveGround) =>
        Ground.AsWritten(positiveGround, sheet.Points.FirstOrDefault(p => p.Id == step.Point)?.Quantity ?? "", read);

    private static string Limits(ProofStep s) => (s.Low, s.High) switch
    {
        ({ } low, { } high) => FormattableString.Invariant($"{low:G4} to {high:G4} {s.Unit}"),
        ({ } low, null) => FormattableString.Invariant($"at least {low:G4} {s.Unit}"),
        (null, { } high) => FormattableString.Invariant($"at most {high:G4} {s.Unit}"),
        _ => "by eye and ear",
    };
}
