using System.Collections.Immutable;
using Bellwire.Reasoning;
using Bellwire.Sheets;
using Bellwire.Workshop;

namespace Bellwire.Counsel;

/// <param name="Old">Odds 0..1 without any cause as the sheet has them; <paramref name="New"/> as the closed jobs leave them.</param>
/// <param name="Seen">Expected number of times it was there, causes taken off.</param>
public sealed record LearnedFault(string Where, string Words, double Old, double New, double Seen);

/// <summary>What proved and returned jobs have taught of a family. Derived from the closings that stand: striking one takes its share back.</summary>
/// <param name="Jobs">Jobs that count; <paramref name="LeftOut"/> closed ones that do not, and why.</param>
/// <param name="Strength">How many sets the sheet's own odds are worth.</param>
/// <param name="Sheet">The family with the new odds.</param>
public sealed record LearnedOdds(ImmutableArray<LearnedFault> Faults, ImmutableArray<string> Jobs, ImmutableArray<(string Job, string Why)> LeftOut, double Strength, int Rounds, TypeSheet Sheet)
{
    /// <summary>The sheet's odds are estimates; they are worth this many sets (an estimate itself).</summary>
    public const double DefaultStrength = 20;
    private const int MostRounds = 6;

    /// <param name="progress">Told after each job weighed: how many weighings are done, and how many there are at most.</param>
    public static LearnedOdds Of(ShopState state, TypeSheet sheet, double strength = DefaultStrength, long upTo = long.MaxValue, Action<int, int>? progress = null, CancellationToken cancel = default)
    {
        ArgumentNullException.ThrowIfNull(state);
        ArgumentNullException.ThrowIfNull(sheet);
        var closed = state.Effective.Where(e => e.Act is JobClosed && e.Number <= upTo).Select(e => ((JobClosed)e.Act).Job).Where(j => state.Jobs[j].SheetId == sheet.Id).ToList();
        var judged = closed.Select(j => (Job: j, Why: WhyNot(state, j, sheet))).ToList();
        ImmutableArray<string> jobs = [.. judged.Where(j => j.Why is null).Select(j => j.Job)];
        var sites = SitesOf(sheet.Family);
        var prior = sites.Select(s => Shares(s.Spec)).ToImmutableArray();
        var seen = AsSeen(state);
        var last = sites.Select(s => new double[s.Spec.Modes.Length + 1]).ToArray();
        var done = 0;
        if (jobs.IsEmpty) return new([], jobs, LeftOutOf(judged), strength, 0, sheet);
        var (odds, rounds, _) = Em.Fit(prior, strength, now =>
        {
            var family = With(sheet.Family, sites, now);
            foreach (var counts in last) Array.Clear(counts);
            foreach (var job in jobs)
            {
                cancel.ThrowIfCancellationRequested();
                Count(seen, job, sheet with { Family = family }, sites, last, cancel);
                progress?.Invoke(++done, MostRounds * jobs.Length);
            }
            return last;
        }, rounds: MostRounds, tolerance: 1e-3);
        var learned = With(sheet.Family, sites, odds);
        var after = SitesOf(learned);
        ImmutableArray<LearnedFault> faults = [.. sites.SelectMany((s, i) => s.Spec.Modes.Select((m, k) => new LearnedFault(s.Where, WordsOf(sheet, s, m), m.BaseOdds, after[i].Spec.Modes[k].BaseOdds, last[i][k + 1])))
            .OrderByDescending(f => Math.Abs(Math.Log(Math.Max(f.New, 1e-9) / Math.Max(f.Old, 1e-9))))];
        return new(faults, jobs, LeftOutOf(judged), strength, rounds, sheet with { Family = learned });
    }

    /// <summary>The act that takes them up for new jobs; null when nothing was learned.</summary>
    public OddsAdopted? Adoption(ShopState state)
    {
        ArgumentNullException.ThrowIfNull(state);
        if (Jobs.IsEmpty) return null;
        return new(Sheet.Id, Sheet.Hash, [.. state.Effective.Where(e => e.Act is JobClosed c && Jobs.Contains(c.Job)).Select(e => e.Id)],
            [.. SitesOf(Sheet.Family).SelectMany(s => s.Spec.Modes.Select(m => new OddsLine(s.Key, m.Id, m.BaseOdds)))]);
    }

    /// <summary>The sheet with the odds a job is pinned to. The sheet as it is when that is its own, or when one of the closings they were learned from was struck.
    /// Sites the sheet has gained since keep its own odds.</summary>
    public static TypeSheet InForce(ShopState state, JobState job, TypeSheet sheet)
    {
        ArgumentNullException.ThrowIfNull(state);
        ArgumentNullException.ThrowIfNull(job);
        ArgumentNullException.ThrowIfNull(sheet);
        if (!Holds(state, job.OddsVersion) || state.Odds[job.OddsVersion] is not { } adopted || adopted.SheetId != sheet.Id) return sheet;
        var odds = adopted.Odds.ToDictionary(o => (o.Site, o.Mode), o => o.Odds);
        SiteSpec Learned(string key, SiteSpec s) => s with { Modes = [.. s.Modes.Select(m => odds.TryGetValue((key, m.Id), out var p) ? m with { BaseOdds = p } : m)] };
        return sheet with
        {
            Family = sheet.Family with
            {
                Kinds = [.. sheet.Family.Kinds.Select(k => k with { Sites = [.. k.Sites.Select(s => Learned($"{k.Id}.{s.Id}", s))] })],
                Positions = [.. sheet.Family.Positions.Select(p => p with { Sites = [.. p.Sites.Select(s => Learned($"@{p.Id}.{s.Id}", s))] })],
            },
        };
    }

    /// <summary>Whether a version names learned odds all of whose closings still stand.</summary>
    public static bool Holds(ShopState state, string version)
    {
        ArgumentNullException.ThrowIfNull(state);
        if (!state.Odds.TryGetValue(version, out var adopted)) return false;
        var standing = state.Effective.Where(e => e.Act is JobClosed).Select(e => e.Id).ToHashSet();
        return adopted.Closings.All(standing.Contains);
    }

    private static ImmutableArray<(string, string)> LeftOutOf(List<(string Job, string? Why)> judged) => [.. judged.Where(j => j.Why is not null).Select(j => (j.Job, j.Why!))];

    /// <summary>Only what was mended (or found good), shown to work, and sent home teaches; null when it does.</summary>
    private static string? WhyNot(ShopState state, string job, TypeSheet sheet)
    {
        var j = state.Jobs[job];
        if (j.Ending is not ("mended" or "no fault found")) return $"it ended {j.Ending}";
        if (!j.CartonClosed) return "it never went home";
        if (state.Comebacks.Values.Contains(job)) return "it came back";
        var proof = ProofPlan.Of(state, job, sheet);
        if (proof.Tried == 0) return "nothing was proved after the last mend";
        return proof.Lines.Any(l => l.Outcome is not null && (l.Outcome != "shown" || l.Within == false)) ? "the proof failed" : null;
    }

    /// <summary>A step that was shown is a check with a good outcome.</summary>
    private static ShopState AsSeen(ShopState state) => state with
    {
        Effective = [.. state.Effective.Select(e => e.Act is Proved { Outcome: "shown" } p && state.Jobs.GetValueOrDefault(p.Job)?.System is { } system ? e with { Act = new Checked(p.Job, system, "\0proof:" + p.Function, "shown", ImmutableDictionary<string, string>.Empty, ImmutableDictionary<string, string>.Empty, null) } : e)],
    };

    private static void Count(ShopState seen, string job, TypeSheet sheet, List<FamilySite> sites, double[][] counts, CancellationToken cancel)
    {
        var steps = sheet.Proof.Where(p => p.Check is not null).ToDictionary(p => "\0proof:" + p.Id, p => p.Check!);
        var own = seen with
        {
            Effective = [.. seen.Effective.Select(e => e.Act is Checked c && steps.TryGetValue(c.Check, out var check) && sheet.Checks.FirstOrDefault(x => x.Id == check) is { } spec ? e with { Act = c with { Check = check, Outcome = spec.Outcomes[0] } } : e)],
        };
        var weighed = Counsellor.Weigh(own, job, sheet, cancel: cancel);
        if (weighed.Weighing.Posterior is not { } belief) return;
        var kindOf = weighed.Built.Case.Pieces.ToDictionary(p => p.Id, p => p);
        var index = sites.Select((s, i) => (s.Key, i)).ToDictionary(s => s.Key, s => s.i);
        foreach (var site in belief.Sites)
        {
            string key;
            if (site.Site.Piece is { } piece)
            {
                // The owner's pieces that were here; stand-ins, the shop's and what stayed at home teach nothing.
                if (kindOf[piece].Origin != job || !weighed.Built.Maps.Values.Any(m => m.ContainsValue(piece)) && !seen.Pieces.ContainsKey(piece)) continue;
                key = $"{kindOf[piece].Kind}.{site.Site.Site}";
            }
            else if (site.Site.System == weighed.Built.System && sheet.Positions.First(p => p.Id == site.Site.Position).House == false) key = $"@{site.Site.Position}.{site.Site.Site}";
            else continue;
            var spec = sites[index[key]].Spec;
            var faulty = 0.0;
            for (var m = 0; m < spec.Modes.Length; m++)
            {
                // What a cause explains is not the base odds' doing: competing risks share by λ, causes by their posterior chance.
                double own0 = Risk(sheet, key, m), all = own0 + spec.Modes[m].ByCause.Sum(c => belief.Causes.GetValueOrDefault(c.Key) * -Math.Log(1 - c.Value));
                var n = all > 0 ? site.Original.GetValueOrDefault(spec.Modes[m].Id) * own0 / all : 0;
                counts[index[key]][m + 1] += n;
                faulty += n;
            }
            counts[index[key]][0] += 1 - faulty;
        }
    }

    private static double Risk(TypeSheet sheet, string key, int mode) => -Math.Log(1 - SitesOf(sheet.Family).First(s => s.Key == key).Spec.Modes[mode].BaseOdds);

    private sealed record FamilySite(string Key, string Where, string? Kind, string? Position, SiteSpec Spec);

    private static List<FamilySite> SitesOf(Family family) =>
        [.. family.Kinds.SelectMany(k => k.Sites.Select(s => new FamilySite($"{k.Id}.{s.Id}", k.Name, k.Id, null, s))),
         .. family.Positions.SelectMany(p => p.Sites.Select(s => new FamilySite($"@{p.Id}.{s.Id}", p.Name, null, p.Id, s)))];

    private static string WordsOf(TypeSheet sheet, FamilySite s, ModeSpec m) =>
        sheet.Faults.FirstOrDefault(f => f.Site == s.Spec.Id && f.Mode == m.Id && (s.Position is null ? f.Position is null && f.Kind == s.Kind : f.Position == s.Position))?.Words
            ?? (s.Spec.Id == "other" ? "a fault the sheet does not know" : $"{s.Spec.Name} {m.Name}".Trim());

    /// <summary>Base odds as shares of good and each mode, by the competing risks of the engine.</summary>
    internal static ImmutableArray<double> Shares(SiteSpec spec)
    {
        var risks = spec.Modes.Select(m => -Math.Log(1 - m.BaseOdds)).ToArray();
        var all = risks.Sum();
        var good = Math.Exp(-all);
        return [good, .. risks.Select(r => all > 0 ? (1 - good) * r / all : 0)];
    }

    /// <summary>And back: the risks whose competition gives these shares.</summary>
    internal static SiteSpec With(SiteSpec spec, ImmutableArray<double> shares)
    {
        var faulty = 1 - shares[0];
        var all = -Math.Log(Math.Max(shares[0], 1e-12));
        return spec with { Modes = [.. spec.Modes.Select((m, i) => m with { BaseOdds = faulty > 0 ? 1 - Math.Exp(-all * shares[i + 1] / faulty) : 0 })] };
    }

    private static Family With(Family family, List<FamilySite> sites, ImmutableArray<ImmutableArray<double>> odds)
    {
        var now = sites.Select((s, i) => (s.Key, Spec: With(s.Spec, odds[i]))).ToDictionary(s => s.Key, s => s.Spec);
        return family with
        {
            Kinds = [.. family.Kinds.Select(k => k with { Sites = [.. k.Sites.Select(s => now[$"{k.Id}.{s.Id}"])] })],
            Positions = [.. family.Positions.Select(p => p with { Sites = [.. p.Sites.Select(s => now[$"@{p.Id}.{s.Id}"])] })],
        };
    }
}
