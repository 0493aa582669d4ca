using Bellwire.Counsel;

namespace Bellwire.Perf.Benches;

/// <summary>What anybody does who has run out of advice: prove, and go through the pieces that a failed function needs, one by one.</summary>
internal static class Fallback
{
    public static void GoOn(Day day, HashSet<string> tried)
    {
        var failed = day.Prove();
        if (day.Proved) return;
        var needs = failed.SelectMany(f => day.Sheet.Functions.Where(x => x.Check == f.Check).SelectMany(x => x.Needs))
            .Concat(failed.Any(f => f.Check is "ohms-raw") ? ["amp"] : []).Concat(["supply", "transformer", "fuse", "p0", "p1", "p2"])
            .Where(p => day.Sheet.Positions.Any(x => x.Id == p && x.TravelsByPost && !x.House))
            .GroupBy(p => p).OrderByDescending(g => g.Count()).Select(g => g.Key).ToList();
        var next = needs.FirstOrDefault(p => tried.Add("fallback " + p));
        if (next is null) { tried.RemoveWhere(t => t.StartsWith("fallback ", StringComparison.Ordinal)); next = needs[0]; }
        day.GoThrough(next);
    }
}
