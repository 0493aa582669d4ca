using System.Collections.Immutable;
using Bellwire.Sheets;
using Bellwire.Workshop;

namespace Bellwire.Counsel;

/// <summary>A reason for which a refusal was gone against: kept on the tape, printed on the papers.</summary>
/// <param name="About">What was gone against, in words.</param>
public sealed record KeptReason(long Number, string About, string Reason)
{
    /// <summary>Every kept reason of a job, in the order of the tape.</summary>
    public static ImmutableArray<KeptReason> Of(ShopState state, string job, TypeSheet sheet)
    {
        ArgumentNullException.ThrowIfNull(state);
        ArgumentNullException.ThrowIfNull(sheet);
        return [.. state.TapeOf(job).SelectMany(e => In(e.Act, sheet).Select(r => new KeptReason(e.Number, r.About, r.Reason)))];
    }

    /// <summary>The reasons one act carries.</summary>
    public static IEnumerable<(string About, string Reason)> In(Act act, TypeSheet? sheet)
    {
        ArgumentNullException.ThrowIfNull(act);
        (string, string?) old = act switch
        {
            CartonClosed a => ("the carton closed over something open", a.OverrideReason),
            JobClosed a => ("the job ended with the carton open", a.OverrideReason),
            Fitted a => ("a piece went in", a.OverrideReason),
            Powered a => ("power was applied", a.OverrideReason),
            GateAnswered a => (Words(a.Gate, sheet), a.OverrideReason),
            _ => ("", null),
        };
        if (old.Item2 is { Length: > 0 } reason) yield return (old.Item1, reason);
        foreach (var o in act.Overrides ?? []) yield return (Words(o.Gate, sheet), o.Reason);
    }

    /// <summary>What a gate asks, in words.</summary>
    public static string Words(string gate, TypeSheet? sheet) => gate switch
    {
        "last-good" => "the last good one of its kind was risked",
        "power-off" => "a piece went in under power",
        GateKeeper.SetOff => "seen under power, with the set off on the tape",
        "limited-first" => "first power straight from the line",
        _ when sheet is not null && KillingRail.Of(sheet).FirstOrDefault(r => r.Gate == gate) is { } rail => $"powered after a mend without “{rail.Check.Words}” first",
        _ => sheet is null ? gate : EraGates.For(sheet).FirstOrDefault(g => g.Id == gate)?.Words ?? gate,
    };
}
