using System.Collections.Immutable;
using Bellwire.Reasoning;
using Bellwire.Sheets;
using Bellwire.Workshop;

namespace Bellwire.Counsel;

/// <summary>What the steps of a proof say.</summary>
public static partial class CaseBuilder
{
    private sealed partial class Walk
    {
        private readonly HashSet<string> failedSteps = [];
        private readonly List<(int At, CaseEvent.Observe Seen, string Check)> shownSteps = [];
        private bool proofFails;

        /// <summary>A step of a proof that fails is a look at what it tries. Beside one that failed count all that were shown good since the set was last changed, before it or after: what
        /// works tells where to look. While none has failed they are left out: they would only say what the proof as a whole says. A step that failed once counts when it is shown good later.
        /// A value is a reading, whatever the step. The owner's word is not the bench's look.</summary>
        private void Step(string entry, Proved a, DateTimeOffset when)
        {
            if (!benched || a.Outcome is not ("failed" or "shown") || ProofPlan.IsByOwner(a.By) || sheet.Proof.FirstOrDefault(s => s.Id == a.Function) is not { } step) return;
            if (step.Point is { } point && a.Value is { } value && sheet.Points.FirstOrDefault(p => p.Id == point) is { } read)
                Reading(entry, new ReadingTaken(job, set, point, read.Quantity, value, "", ImmutableDictionary<string, string>.Empty), when);
            if (Tried(entry, a, step, when) is not var (seen, check)) return;
            if (a.Outcome == "failed")
            {
                failedSteps.Add(a.Function);
                proofFails = true;
            }
            else if (!proofFails && !failedSteps.Contains(a.Function))
            {
                shownSteps.Add((events.Count, seen, check));
                return;
            }
            // They stand where they were made: power may have come between.
            foreach (var shown in shownSteps.AsEnumerable().Reverse().Where(s => proofFails && s.Seen.Repeat != seen.Repeat))
            {
                events.Insert(shown.At, shown.Seen);
                fresh.Add($"{set}:{shown.Check}");
            }
            if (proofFails) shownSteps.Clear();
            events.Add(seen);
            fresh.Add($"{set}:{check}");
        }

        /// <summary>A change of the set: what its proof showed before is of another set.</summary>
        private void Changed()
        {
            fresh.Clear();
            lately.Clear();
            shownSteps.Clear();
            proofFails = false;
        }

        /// <summary>The proof tries with care, more than once: it weighs as if the outcome had been found twice over (estimate), and a casual look after it does not stand in for it.</summary>
        private (CaseEvent.Observe Seen, string Check)? Tried(string entry, Proved a, ProofStep step, DateTimeOffset when)
        {
            if (step.Check is not { } id || sheet.Checks.FirstOrDefault(c => c.Id == id) is not { } check || sheet.TargetOf(check, maps[set], set) is not { } target) return null;
            var seen = check.Matrix[check.Outcomes[0]];
            ImmutableDictionary<string, double> Twice(Func<string, double> once) =>
                check.Outcomes.SelectMany(o => check.Matrix[o].Keys).Distinct().ToImmutableDictionary(s => s, s => once(s) * once(s) / (once(s) * once(s) + (1 - once(s)) * (1 - once(s))));
            var (good, bad) = (Twice(s => seen.GetValueOrDefault(s)), Twice(s => 1 - seen.GetValueOrDefault(s)));
            var setting = SettingFor(check, set, when) is var s ? s with { Throws = s.Throws.SetItems(check.Throws) } : s;
            return (new CaseEvent.Observe(entry, set, setting, target, a.Outcome == "failed" ? bad : good, $"{set}:proof:{a.Function}") { Outcomes = [good, bad] }, check.Id);
        }
    }
}
