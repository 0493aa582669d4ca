using Bellwire.Counsel;
using Bellwire.Reasoning;

namespace Bellwire.Perf.Benches;

/// <summary>The two orders of the books, with our own exact odds lent to them: the likeliest site first, or the site with the most
/// probability for its cost. A site's own check comes first where there is one and it was not made; otherwise the site is mended.</summary>
internal sealed class OddsOrder(bool perCost, AdviceOptions options, OddsOrder.Beginning shared) : IOrder
{
    /// <summary>The first weighing of the case, by whichever order came to it first.</summary>
    internal sealed class Beginning
    {
        public Weighed? First { get; set; }
    }

    public string Name => perCost ? "probability over cost" : "most probable first";

    public void Work(Day day)
    {
        var weighed = shared.First;
        HashSet<string> looked = [], tried = [];
        var proofsFailed = 0;
        var wrong = Sweep(day, day.Sheet.Functions.Select(f => f.Check));
        while (!day.IsProved && day.Minutes < Trial.MostMinutes)
        {
            weighed = Counsellor.Weigh(day.Written, Day.Job, day.Sheet, options, weighed);
            shared.First ??= weighed;
            if (weighed.Weighing.Posterior is not { } belief) { Fallback.GoOn(day, tried); continue; }
            var sites = Belief.Sites(belief, weighed.Built).ToList();
            if (1 - Belief.Sound(belief, weighed.Built) < Trial.SureSound)
            {
                if (proofsFailed++ > 1) { Fallback.GoOn(day, tried, Belief.Odds(belief, weighed.Built)); proofsFailed = 0; continue; }
                day.Prove();
                looked.Clear();
                continue;
            }
            var next = sites.Where(s => s.Site.Site != "other" && s.Faulty > 0.01).Select(s =>
            {
                var mode = s.Now.Where(m => m.Key != "good").MaxBy(m => m.Value).Key;
                var check = s.Faulty > 0.9 ? null : Direct(day, s.Site, looked);
                var minutes = check?.Minutes ?? day.InfoOf(s.Site, mode)?.MendMinutes ?? 30;
                return (s.Site, Mode: mode, Check: check, Rank: perCost ? s.Faulty / minutes : s.Faulty);
            }).Where(n => n.Check is not null || !tried.Contains($"{n.Site} {day.Proofs}")).OrderByDescending(n => n.Rank).FirstOrDefault();
            if (next.Site is null)
            {
                if (Belief.Pieces(belief, weighed.Built).FirstOrDefault() is { P: > 0.3 } worst && tried.Add($"through {worst.Position} {day.Proofs}")) { day.GoThrough(worst.Position); continue; }
                if (proofsFailed++ > 1) { Fallback.GoOn(day, tried, Belief.Odds(belief, weighed.Built)); proofsFailed = 0; continue; }
                day.Prove();
                looked.Clear();
            }
            else if (next.Check is { } check)
            {
                looked.Add(check.Id);
                day.Look(check.Id);
            }
            else
            {
                tried.Add($"{next.Site} {day.Proofs}");
                day.Mend(next.Site, next.Mode);
                proofsFailed = 0;
                looked.Clear();
                wrong = Sweep(day, wrong);
            }
        }
    }

    /// <summary>Every function at the start, and after a mend those that had failed; what fails now.</summary>
    private static List<string> Sweep(Day day, IEnumerable<string> functions) =>
        [.. functions.Where(f => day.Sheet.Checks.First(c => c.Id == f) is { TargetKind: "signal" } spec && day.Look(f) is { } seen && seen != spec.Outcomes[0])];

    private static Sheets.CheckSpec? Direct(Day day, SiteRef site, HashSet<string> looked)
    {
        var position = site.Position ?? day.Sheet.Positions.FirstOrDefault(p => CaseBuilder.PieceAt(Day.Job, p.Id) == site.Piece)?.Id;
        return day.Sheet.Checks.Where(c => c.How != "ask" && c.Circumstances.GetValueOrDefault("place") != "home" && c.Target == $"{position}.{site.Site}" && !looked.Contains(c.Id)).MinBy(c => c.Minutes);
    }
}
