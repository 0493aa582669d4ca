using Bellwire.Counsel;

namespace Bellwire.Perf.Benches;

/// <summary>What anybody does who has run out of advice: prove, and go through the pieces that a failed function needs, one by one.</summary>
internal static class Fallback
{
    /// <param name="odds">How likely each piece is to be faulty, where anybody reckons it; otherwise the piece that most of the failed functions need comes first.</param>
    public static void GoOn(Day day, HashSet<string> tried, IReadOnlyDictionary<string, double>? odds = null)
    {
        var failed = day.Prove();
        if (day.IsProved) return;
        var needs = failed.SelectMany(f => day.Sheet.Functions.Where(x => x.Check == f.Check).SelectMany(x => x.Needs))
            .Concat(failed.Any(f => f.Check is "ohms-raw") ? ["amp"] : []).Concat(["supply", "transformer", "fuse", "p0", "p1", "p2"])
            .Where(p => day.Sheet.Positions.Any(x => x.Id == p && x.TravelsByPost && !x.House))
            .GroupBy(p => p).OrderByDescending(g => odds?.GetValueOrDefault(g.Key) ?? 0).ThenByDescending(g => g.Count()).Select(g => g.Key).ToList();
        var next = needs.FirstOrDefault(p => tried.Add("fallback " + p));
        if (next is null) { tried.RemoveWhere(t => t.StartsWith("fallback ", StringComparison.Ordinal)); next = needs[0]; }
        day.GoThrough(next);
    }
}
