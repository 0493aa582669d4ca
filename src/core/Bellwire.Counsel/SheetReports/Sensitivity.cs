using System.Collections.Immutable;
using Bellwire.Sheets;

namespace Bellwire.Counsel;

/// <summary>The odds that matter most: for each complaint a function check can make, the faults behind it are gone through, odds over minutes;
/// with one fault's odds three times off that order is another, and costs so much more (one fault at a time).</summary>
internal static class Sensitivity
{
    private const double Off = 3;
    private const int Most = 12;

    public static ImmutableArray<WeightyOdds> Of(TypeSheet sheet, SheetTable table, List<LookedAt> faults, double[][] none)
    {
        var lost = new double[faults.Count];
        var complaints = 0.0;
        foreach (var function in sheet.Functions)
        {
            var c = IndexOf(table, function.Check);
            if (c < 0) continue;
            var check = table.Checks[c];
            var ordinal = check.Outcomes.Order(StringComparer.Ordinal).ToList();
            var good = ordinal.IndexOf(check.Outcomes[0]);
            // What a sound set would show by mistake is no complaint of a fault's.
            var p = faults.Select(f => f.Odds * Math.Max(0, none[c][good] - f.Row[c][good])).ToArray();
            var any = p.Sum();
            if (any <= 0) continue;
            complaints += any;
            var minutes = faults.Select(f => Math.Max(0.5, f.MendMinutes)).ToArray();
            var least = Cost(p, p, minutes);
            for (var i = 0; i < p.Length; i++)
                if (p[i] > 0)
                    lost[i] += Math.Max(Cost(With(p, i, Off), p, minutes), Cost(With(p, i, 1 / Off), p, minutes)) - least;
        }
        return complaints <= 0 ? [] : [.. faults.Select((f, i) => new WeightyOdds(f.Words, f.Odds, lost[i] / complaints)).Where(w => w.Minutes > 1e-6).OrderByDescending(w => w.Minutes).Take(Most)];
    }

    private static int IndexOf(SheetTable table, string check)
    {
        for (var i = 0; i < table.Checks.Length; i++)
            if (table.Checks[i].Id == check) return i;
        return -1;
    }

    private static double[] With(double[] p, int at, double by)
    {
        var q = (double[])p.Clone();
        q[at] *= by;
        return q;
    }

    /// <summary>Expected minutes, times the chance of the complaint, of going through the faults in the order of <paramref name="believed"/> over minutes while <paramref name="p"/> is true.</summary>
    private static double Cost(double[] believed, double[] p, double[] minutes)
    {
        double spent = 0, sum = 0;
        foreach (var i in Enumerable.Range(0, p.Length).OrderByDescending(i => believed[i] / minutes[i]))
        {
            spent += minutes[i];
            sum += p[i] * spent;
        }
        return sum;
    }
}
