using System.Collections.Immutable;
using Bellwire.Sheets;

namespace Bellwire.Counsel;

/// <summary>Sets that no look tells apart, and what would.</summary>
internal static class Alikes
{
    /// <summary>A new look must show the difference at least this often to be worth writing down (estimate).</summary>
    private const double Splits = 0.5;

    /// <summary>Classes of two or more sets; every two of a class are alike at every check. The likeliest set of a class stands first and decides what is like it.</summary>
    public static List<List<LookedAt>> Classes(IEnumerable<LookedAt> sets, int checks)
    {
        var classes = new List<List<LookedAt>>();
        // What is alike is alike at the first check too: a coarse key keeps the comparisons few, and its two neighbours hold what lies across an edge.
        var byKey = new Dictionary<int, List<List<LookedAt>>>();
        foreach (var set in sets.OrderBy(s => s.Faults.Length).ThenByDescending(s => s.Odds))
        {
            var key = Key(set.Row, checks);
            var home = Enumerable.Range(key - 1, 3).SelectMany(k => byKey.GetValueOrDefault(k) ?? []).FirstOrDefault(c => c.TrueForAll(other => Alike(other.Row, set.Row, checks)));
            if (home is not null) home.Add(set);
            else
            {
                classes.Add(home = [set]);
                if (!byKey.TryGetValue(key, out var there)) byKey[key] = there = [];
                there.Add(home);
            }
        }
        return [.. classes.Where(c => c.Count > 1)];
    }

    private static bool Alike(double[][] a, double[][] b, int checks)
    {
        for (var c = 0; c < checks; c++)
            if (LookedAt.Apart(a[c], b[c]) > SheetReport.Alikeness) return false;
        return true;
    }

    /// <summary>The sum of first outcomes over the checks: alike sets differ in it by no more than checks × the alikeness.</summary>
    private static int Key(double[][] row, int checks) => (int)Math.Floor(row.Take(checks).Sum(r => r[0]) / Math.Max(1, checks * SheetReport.Alikeness));

    public static AlikeClass Say(TypeSheet sheet, SheetTable table, List<LookedAt> sets)
    {
        var odds = sets.Where(s => s.Faults.Length > 0).Sum(s => s.Odds);
        var (newCheck, worth) = Splitting(sheet, table, sets);
        return new([.. sets.Select(s => s.Words)], Math.Min(1, odds), sets.Where(s => s.Faults.Length > 0).Max(s => s.Odds) / Math.Max(1e-12, odds), Swap(sheet, sets), newCheck, worth);
    }

    /// <summary>Pairs of single faults that even the best look tells apart only now and then; the likeliest first.</summary>
    public static ImmutableArray<HardlyTold> Hardly(SheetTable table, IReadOnlyList<LookedAt> faults)
    {
        var found = new List<HardlyTold>();
        for (var i = 0; i < faults.Count; i++)
            for (var j = i + 1; j < faults.Count; j++)
            {
                double best = 0;
                var at = 0;
                for (var c = 0; c < table.Checks.Length && best <= Hard; c++)
                    if (LookedAt.Apart(faults[i].Row[c], faults[j].Row[c]) is var apart && apart > best) (best, at) = (apart, c);
                if (best > SheetReport.Alikeness && best <= Hard)
                    found.Add(new(faults[i].Words, faults[j].Words, table.Checks[at].Words, best, Math.Min(faults[i].Odds, faults[j].Odds)));
            }
        return [.. found.OrderByDescending(h => h.Odds).Take(MostHardly)];
    }

    private const double Hard = 0.4;
    private const int MostHardly = 12;

    private static string Swap(TypeSheet sheet, List<LookedAt> sets)
    {
        var pieces = sets.SelectMany(s => s.Faults).Select(f => (f.Position, Loose: f.Site.Piece is not null && !f.House)).Distinct().ToList();
        string Name(string position) => sheet.Positions.First(p => p.Id == position).Name;
        if (sets.Exists(s => s.Faults.IsEmpty)) return "It does not show at all: it looks like a set with nothing wrong.";
        if (pieces.Select(p => p.Position).Distinct().Count() == 1) return $"All at {Name(pieces[0].Position)}: going through it, or changing it, settles them together.";
        var loose = pieces.Where(p => p.Loose).Select(p => Name(p.Position)).Distinct().ToList();
        var plugs = sets.SelectMany(s => s.Faults).Where(f => f.Site.Position is { } p && sheet.Family.Positions.First(x => x.Id == p).ContactSite == f.Site.Site).Select(f => Name(f.Position)).Distinct().ToList();
        if (loose.Count == 0 && plugs.Count > 0) return $"Reseating tells, one at a time: {string.Join(", ", plugs)}.";
        return loose.Count > 0 ? $"A swap tells: {string.Join(", ", loose)}." : "No swap tells: they lie in the places, the wiring or the house.";
    }

    /// <summary>A signal nobody reads that differs between them, or else a direct look at one of the sites; and the mending it would spare.</summary>
    private static (string? Words, double Minutes) Splitting(TypeSheet sheet, SheetTable table, List<LookedAt> sets)
    {
        var real = sets.Where(s => s.Faults.Length > 0).ToList();
        if (real.Count == 0) return (null, 0);
        var before = InOrder(real);
        var best = (Words: (string?)null, Spared: 0.0);
        // Pairs were not looked at with bare signals: their rows end with the checks.
        for (var i = 0; i < table.Bare.Length && sets.TrueForAll(s => s.Row.Length > table.Checks.Length); i++)
        {
            var at = table.Checks.Length + i;
            var (signal, throws) = table.Bare[i];
            var (parts, pure) = Parted(real, sets[0].Row[at].Length, s => s.Row[at]);
            if (!pure || parts < 2 && !sets.Exists(s => s.Faults.IsEmpty && LookedAt.Apart(s.Row[at], real[0].Row[at]) >= Splits)) continue;
            var spared = before - real.GroupBy(s => Array.IndexOf(s.Row[at], s.Row[at].Max())).Sum(g => InOrder([.. g]) * g.Sum(x => x.Odds) / Math.Max(1e-12, real.Sum(x => x.Odds)));
            if (best.Words is null || spared > best.Spared + 1e-9)
                best = ($"Read “{signal.Name}”{(throws.IsEmpty ? "" : $" with {string.Join(", ", throws.Select(t => $"{sheet.Family.Selectors.First(s => s.Id == t.Key).Name} at {t.Value}"))}")}: no look of the sheet reads it so.", spared);
        }
        if (best.Words is not null) return best;
        foreach (var f in real.SelectMany(s => s.Faults).DistinctBy(f => f.Site))
        {
            var with = real.Where(s => s.Faults.Any(x => x.Site.Equals(f.Site))).ToList();
            var without = real.Except(with).ToList();
            var total = Math.Max(1e-12, real.Sum(s => s.Odds));
            var spared = before - with.Sum(s => s.Odds) / total * InOrder(with) - without.Sum(s => s.Odds) / total * InOrder(without);
            if (spared > best.Spared + 1e-9) best = ($"A direct look at {f.Words.Split(':')[0]}, at what could be “{f.Words.Split(": ", 2)[^1]}”: measure, probe or open that part.", spared);
        }
        return best;
    }

    private static (int Parts, bool Pure) Parted(List<LookedAt> sets, int outcomes, Func<LookedAt, double[]> row)
    {
        var seen = new HashSet<int>();
        foreach (var s in sets)
        {
            var r = row(s);
            var top = Enumerable.Range(0, outcomes).MaxBy(o => r[o]);
            if (r[top] < (1 + Splits) / 2) return (0, false);
            seen.Add(top);
        }
        return (seen.Count, true);
    }

    /// <summary>Minutes of mending that turn out needless when the sets are mended one after another, odds over minutes, until it is cured:
    /// each set's share × the minutes of those mended before it.</summary>
    internal static double InOrder(IReadOnlyList<LookedAt> sets)
    {
        double spent = 0, sum = 0, total = Math.Max(1e-12, sets.Sum(s => s.Odds));
        foreach (var s in sets.OrderByDescending(s => s.Odds / Math.Max(0.5, s.MendMinutes)))
        {
            sum += s.Odds / total * spent;
            spent += s.MendMinutes;
        }
        return sum;
    }
}
