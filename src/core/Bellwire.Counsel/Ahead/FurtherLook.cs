using System.Collections.Immutable;
using Bellwire.Reasoning;
using Bellwire.Reasoning.Planning;
using Bellwire.Sheets;
using Bellwire.Workshop;

namespace Bellwire.Counsel;

/// <summary>How far to look, and for how long.</summary>
/// <param name="Moves">Leading moves of the ranking that are looked into.</param>
/// <param name="Sites">Faults kept apart at most; all others count as one.</param>
/// <param name="States">Fault sets kept at most.</param>
public sealed record FurtherOptions(int Moves = 8, int Sites = 6, int States = 24, int Depth = 4, int Width = 5, long Steps = 12_000);

/// <summary>Looks at the leaders of the ranking again by what is expected to be spent until a passed proof (docs/engines/counsel.md, "Further ahead").</summary>
public static class FurtherLook
{
    /// <summary>A fault rarer than this is not kept apart.</summary>
    private const double LeastSite = 0.01;

    /// <summary>Finding it, when it is none of the faults kept apart: what a failed proof points at is looked at (estimate).</summary>
    private const double FindMinutes = 20;

    /// <summary>Leaders so near to the best stand as the ranking has them: a share, and minutes (estimates; less than what a simple way to the end is wrong by).</summary>
    private const double AlikeShare = 0.02, AlikeMinutes = 2;

    /// <param name="enough">When cancelled, the answer is that of the depth finished before.</param>
    /// <param name="tell">Told (steps done, steps): the moves looked into, then the depths.</param>
    /// <returns>Null when the tape contradicts itself, or nothing can be planned.</returns>
    public static WayAhead? Of(ShopState state, string job, TypeSheet sheet, Weighed weighed, Advice advice, AdviceOptions? options = null, FurtherOptions? further = null,
        CancellationToken cancel = default, CancellationToken enough = default, Action<int, int>? tell = null)
    {
        ArgumentNullException.ThrowIfNull(weighed);
        ArgumentNullException.ThrowIfNull(advice);
        if (weighed.Weighing.Posterior is not { } belief) return null;
        var (o, f) = (options ?? new AdviceOptions(), further ?? new FurtherOptions());
        var names = new Namer(state, sheet, weighed.Built);
        var doubt = new Doubt(sheet, weighed.Built, names, o);
        var counted = belief.Sites.Where(s => doubt.Counts(s.Site)).OrderByDescending(s => s.Faulty).ToList();
        var kept = counted.Where(s => s.Site.Site != "other" && s.Faulty >= LeastSite).Take(f.Sites).ToList();
        var leaders = Leaders(state, job, sheet, weighed.Built, belief, advice, f.Moves);
        var steps = leaders.Count + f.Depth;
        if (Foresight.Of(weighed.Weighing, [.. kept.Select(s => s.Site)], [.. counted.Except(kept).Select(s => s.Site)], [.. leaders.Select(l => l.Move)], f.States,
            (done, _) => tell?.Invoke(done, steps), cancel) is not { } seen) return null;
        var terms = new ShopTerms().For(state, job);
        var rest = counted.Except(kept).ToList();
        var restCost = FindMinutes + rest.Sum(s => s.Faulty * doubt.MendMinutes(s.Site)!.Value) / Math.Max(1e-9, 1 - rest.Aggregate(1.0, (q, s) => q * (1 - s.Faulty)));
        var problem = new Posed(names, doubt, terms.Hourly, kept, restCost, seen, leaders).Problem(out var words);
        var plan = LookAhead.Rank(problem, new PlanOptions(f.Depth, f.Width, f.Steps), cancel, enough, p => tell?.Invoke(leaders.Count + p.Depth - 1, steps));
        var order = Ordered(plan, advice);
        return new([.. order.Take(f.Width + 1).Select(a => new AheadMove(a.Act, words[a.Act], a.Expected,
                [.. plan.Then.GetValueOrDefault(a.Act, []).OrderByDescending(t => t.Chance).Select(t => new AheadStep(t.Outcome, t.Chance, t.Next is null ? "nothing more" : words[t.Next], t.Expected))]))],
            order.IsEmpty ? 0 : order[0].Expected, terms.Hourly, terms.Currency, plan.Depth, plan.Whole, kept.Count, seen.Covered);
    }

    /// <summary>Cheapest first; those as good as the best in the order of the ranking, so that nothing is turned over for a minute.</summary>
    private static ImmutableArray<(string Act, double Expected)> Ordered(Plan plan, Advice advice)
    {
        if (plan.Acts.IsEmpty) return [];
        var ranked = advice.Moves.SelectMany(b => b.Moves).ToList();
        int Place(string act) => act == "prove" ? ranked.Count(m => m.Kind is "mend" or "rails" || m.Score >= 1) * 2 - 1
            : ranked.FindIndex(m => m.Id == act) is var i and >= 0 ? 2 * i : int.MaxValue;
        var alike = plan.Expected + Math.Max(AlikeMinutes, AlikeShare * plan.Expected);
        return [.. plan.Acts.Where(a => a.Expected <= alike).OrderBy(a => Place(a.Act)), .. plan.Acts.Where(a => a.Expected > alike).OrderBy(a => a.Expected)];
    }

    internal sealed record Leader(MoveLine Line, Move Move, CheckSpec Check, string? Bundle, double SetUp);

    /// <summary>The moves that score best, each with what the engine is asked for it.</summary>
    private static List<Leader> Leaders(ShopState state, string job, TypeSheet sheet, BuiltCase built, Posterior belief, Advice advice, int most)
    {
        var moves = Candidates.OfBench(state, job, sheet, built, belief).Select(c => c.Move).DistinctBy(m => m.Id).ToDictionary(m => m.Id);
        return [.. (from bundle in advice.Moves
                    where bundle.Id != "mend"
                    from line in bundle.Moves
                    where line.Check.Length > 0 && (line.Refusal is null || line.Kind != "swap")
                    let check = sheet.Checks.First(c => c.Id == line.Check)
                    let move = line.Kind == "rails" ? Rails(sheet, built, line, check) : moves.GetValueOrDefault(bundle.Id == "retry" ? "look:" + line.Check : line.Id)
                    where move is not null
                    orderby line.Kind == "rails" descending, line.Score descending
                    select new Leader(line, move, check, line.Kind == "look" ? check.Bundle : null, bundle.SetUpMinutes)).DistinctBy(l => l.Move.Id).Take(most)];
    }

    private static Move Rails(TypeSheet sheet, BuiltCase built, MoveLine line, CheckSpec check) =>
        new(line.Id, built.System, [.. line.Unplug.Select(p => (p, (string?)null))], line.Unplug.Length > 0, Candidates.SettingFor(sheet, check, built), new Target.OfSignal(check.Target), check.Matrix);

    /// <summary>The job as a matter of minutes until a passed proof.</summary>
    private sealed class Posed(Namer names, Doubt doubt, double hourly, List<SiteBelief> kept, double restCost, Foresight seen, List<Leader> leaders)
    {
        public PlanProblem Problem(out Dictionary<string, string> words)
        {
            words = new() { ["prove"] = "prove it", ["rest"] = "go through the rest, part by part" };
            var n = seen.States.Length;
            var numbers = seen.States.Select((s, i) => (Key(s.Faults, s.Others), i)).ToDictionary(x => x.Item1, x => x.i);
            var acts = ImmutableArray.CreateBuilder<PlanAct>();
            ImmutableArray<ImmutableArray<double>> nothing = [.. Enumerable.Repeat(ImmutableArray.Create(1.0), n)];
            for (var s = 0; s < kept.Count; s++)
            {
                var site = s;
                var mode = kept[s].Now.Where(m => m.Key != "good").MaxBy(m => m.Value).Key;
                var id = $"mend:{kept[s].Site}:{mode}";
                words[id] = names.Info(kept[s].Site, mode) is { Passing: true } ? $"put right: {names.Fault(kept[s].Site, mode)}" : $"mend: {names.Fault(kept[s].Site, mode)}";
                acts.Add(new(id, MendCost(kept[s]), ["done"], nothing, [.. seen.States.Select(x => numbers[Key([.. x.Faults.Where(f => f.Site != site)], x.Others)])]));
            }
            if (seen.States.Any(s => s.Others)) acts.Add(new("rest", restCost, ["done"], nothing, [.. seen.States.Select(x => numbers[Key(x.Faults, false)])]));
            acts.Add(new("prove", doubt.Missed, ["passed", "failed"], [.. seen.States.Select(x => x.Faults.IsEmpty && !x.Others ? ImmutableArray.Create(1.0, 0) : [0, 1.0])], [], Ends: 0, Once: false));

            // What is shared: a set-up by the looks of its bundle; the risk of power by all that first put power on, and none of it once the rail was read the safer way.
            var shared = ImmutableArray.CreateBuilder<double>();
            var setUps = new Dictionary<string, int>();
            var power = leaders.Where(l => l.Line is { Kind: "look", LossMinutes: > 0 }).Select(l => l.Line.LossMinutes).DefaultIfEmpty(0).Max();
            if (power > 0) shared.Add(power);
            foreach (var l in leaders)
            {
                if (seen.Moves.FirstOrDefault(m => m.Id == l.Move.Id) is not { } shows) continue;
                words[l.Line.Id] = l.Line.Kind == "look" ? l.Check.Words : l.Line.Words;
                var needs = ImmutableArray<int>.Empty;
                if (l.Bundle is { } bundle && l.SetUp > 0)
                {
                    if (!setUps.TryGetValue(bundle, out var number)) { setUps[bundle] = number = shared.Count; shared.Add(l.SetUp); }
                    needs = needs.Add(number);
                }
                var looks = l.Line.Kind == "look";
                if (power > 0 && looks && l.Move.PowersUp) needs = needs.Add(0);
                acts.Add(new(l.Line.Id, l.Line.Minutes + (looks ? 0 : l.Line.LossMinutes), shows.Outcomes, shows.Chances, [])
                { Needs = needs, Settles = power > 0 && l.Line.Kind == "rails" ? [0] : [], Renewed = true });
            }
            return new PlanProblem([.. Enumerable.Range(0, n).Select(i => "state " + i)], [.. seen.States.Select(s => s.Chance)], acts.ToImmutable()) { Shared = shared.ToImmutable() };
        }

        /// <summary>Minutes until a mend holds, parts at the hourly rate, on the mean over its faults.</summary>
        private double MendCost(SiteBelief site)
        {
            double sum = 0, all = 0;
            foreach (var (mode, p) in site.Now.Where(m => m.Key != "good" && m.Value > 0))
            {
                var info = names.Info(site.Site, mode);
                sum += p * ((info?.MendMinutes ?? doubt.MendMinutes(site.Site) ?? 30) / Math.Max(0.05, info?.MendSuccess ?? 1) + (info?.PartCost ?? 0) / hourly * 60);
                all += p;
            }
            return sum / all;
        }

        private static string Key(ImmutableArray<(int Site, string Mode)> faults, bool others) => string.Join(",", faults.Select(f => $"{f.Site}{f.Mode}")) + (others ? "+" : "");
    }
}
