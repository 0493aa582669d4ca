using System.Collections.Immutable;
using Bellwire.Sheets;
using Bellwire.Workshop;

namespace Bellwire.Counsel;

/// <summary>One function of the set: as the owner told it, as it came, as it is now. Null = not said, not tried.</summary>
/// <param name="Good">The present outcome is that of a good set; null when it was not tried since the last change.</param>
public sealed record FunctionLine(FunctionSpec Function, string? Told, string? AsReceived, string? Now, bool? Good)
{
    /// <summary>heard, not right, or not tried.</summary>
    public string Word => Good switch { true => "heard", false => "not right", null => "not tried" };
}

/// <summary>Every function of the system before and after: the most useful page in any dispute.</summary>
public static class FunctionAudit
{
    public static ImmutableArray<FunctionLine> Of(ShopState state, string job, TypeSheet sheet)
    {
        ArgumentNullException.ThrowIfNull(state);
        ArgumentNullException.ThrowIfNull(sheet);
        var system = state.Jobs[job].System;
        Dictionary<string, string> told = [], first = [], now = [];
        var shown = new Dictionary<string, bool>();
        void Saw(string check, string outcome) { first.TryAdd(check, outcome); now[check] = outcome; }
        foreach (var act in state.TapeOf(job).Select(e => e.Act))
            switch (act)
            {
                case OwnerTold t: told[t.Check] = t.Outcome; break;
                case Checked c when c.System == system: Saw(c.Check, c.Outcome); break;
                case GridChecked g when g.System == system: foreach (var (check, outcome) in g.Outcomes) Saw(check, outcome); break;
                case Proved p when sheet.Proof.FirstOrDefault(s => s.Id == p.Function)?.Check is { } check: shown[check] = p.Outcome == "shown"; break;
                case Mended or HookUpRepaired: now.Clear(); shown.Clear(); break;
                case Fitted f when f.System == system: now.Clear(); shown.Clear(); break;
                case Pulled p when p.System == system: now.Clear(); shown.Clear(); break;
            }
        return [.. from f in sheet.Functions
                   let check = sheet.Checks.FirstOrDefault(c => c.Id == f.Check)
                   where check is not null && !check.Outcomes.IsEmpty
                   let present = now.GetValueOrDefault(f.Check)
                   let proved = shown.TryGetValue(f.Check, out var yes) ? yes : (bool?)null
                   select new FunctionLine(f, Say(check, told.GetValueOrDefault(f.Check)), Say(check, first.GetValueOrDefault(f.Check)),
                       Say(check, present) ?? (proved switch { true => "shown good", false => "failed its proof", null => null }),
                       proved ?? (present is null ? null : present == check.Outcomes[0]))];
    }

    private static string? Say(CheckSpec check, string? outcome) =>
        outcome is null ? null : check.Says.GetValueOrDefault(outcome) is { Length: > 0 } says ? says : outcome.Replace('-', ' ');
}
