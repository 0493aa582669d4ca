using System.Collections.Immutable;
using Bellwire.Sheets;

namespace Bellwire.Counsel;

/// <summary>Looks that decide between no two faults for less than they cost.</summary>
internal static class Worths
{
    /// <summary>Between two faults with minutes m and n to mend, at the odds where it matters most, a perfect look spares m·n / (m + n); one that
    /// tells them apart with total variation t spares no more than t times that. Against “nothing wrong”, n is the proof that fails.</summary>
    public static ImmutableArray<IdleCheck> Idle(SheetTable table, List<LookedAt> faults, double[][] none, double proof)
    {
        var idle = new List<IdleCheck>();
        for (var c = 0; c < table.Checks.Length; c++)
        {
            var check = table.Checks[c];
            // A question that is asked anyway costs next to nothing.
            if (check.Id.StartsWith("told:", StringComparison.Ordinal)) continue;
            double most = 0;
            for (var i = 0; i < faults.Count && most < check.Minutes; i++)
            {
                most = Math.Max(most, Spared(LookedAt.Apart(faults[i].Row[c], none[c]), faults[i].MendMinutes, proof));
                for (var j = i + 1; j < faults.Count && most < check.Minutes; j++)
                    most = Math.Max(most, Spared(LookedAt.Apart(faults[i].Row[c], faults[j].Row[c]), faults[i].MendMinutes, faults[j].MendMinutes));
            }
            if (most < check.Minutes) idle.Add(new(check.Id, check.Words, check.Minutes, most));
        }
        return [.. idle.OrderByDescending(i => i.Minutes - i.Most)];
    }

    private static double Spared(double apart, double m, double n) => m + n <= 0 ? 0 : apart * m * n / (m + n);
}
