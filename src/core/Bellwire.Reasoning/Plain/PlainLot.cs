using System.Collections.Immutable;
using System.Globalization;

namespace Bellwire.Reasoning.Plain;

/// <summary>Weighs a case by worlds drawn by lot from the prior, each counted by the likelihood of what was seen.
/// The last resort: unbiased, but rough when the evidence is unlikely beforehand.</summary>
/// <remarks>A chain that outgrew its bounds is handed on, so that the next entry does not try the same again.</remarks>
internal static class PlainLot
{
    public static Weighing Weigh(Case c, WeighOptions options, CancellationToken ct, Engine.Chain? outgrown = null)
    {
        var tally = new PlainTally(c);
        var along = new double[tally.Events.Count];
        var kept = new List<(ulong Seed, double Weight)>();
        double sum = 0, squares = 0;
        var n = options.Samples * 4;
        for (var i = 0; i < n; i++)
        {
            ct.ThrowIfCancellationRequested();
            var seed = options.Seed * 1_000_003 + (ulong)i;
            var world = PlainWalk.ByLot(c, seed);
            var w = tally.Play(world, along);
            tally.Add(world, 1.0 / n, w, along);
            if (w > 0) kept.Add((seed, w));
            sum += w;
            squares += w * w;
        }
        if (!(tally.Evidence > 0))
            return new Weighing(c, null, new Contradiction([.. c.Events.Select(e => e.Entry).Distinct()],
                $"None of {n} worlds drawn by lot explains the tape."), _ => [], outgrown);
        var size = sum * sum / squares;
        var a = tally.Answer(n, false);
        var worst = 0.5 / Math.Sqrt(size);
        List<string> warnings = [string.Create(CultureInfo.InvariantCulture, $"Sampled, ± {worst:0.000} at worst (one standard error): {n} worlds were drawn by lot, worth {size:0} of equal weight.")];
        if (size < 400) warnings.Add($"Only {size:0} of the drawn worlds carry weight: take the figures, and their standard errors, as rough.");
        var posterior = new Posterior(
            [.. Refs(c).Select(r => new SiteBelief(r, a.Now[r.ToString()].ToImmutableDictionary(), a.Original[r.ToString()].ToImmutableDictionary())
            {
                NowErrors = a.Now[r.ToString()].ToImmutableDictionary(x => x.Key, x => Error(x.Value)),
            })],
            [.. c.Pieces.Select(p => (p.Id, Share: a.FaultSets.Where(s => Names(s.Key, p.Id)).Sum(s => s.Value))).Select(p => new PieceBelief(p.Id, p.Share, Error(p.Share)))],
            a.Causes.ToImmutableDictionary(),
            [.. a.FaultSets.OrderByDescending(s => s.Value).ThenBy(s => s.Key, StringComparer.Ordinal).Take(options.MaxFaultSets).Select(s => new FaultSet(Parse(c, s.Key), s.Value, Error(s.Value)))],
            Math.Log(a.Evidence), Entries(tally, a), a.FaultSets.GetValueOrDefault(""),
            new HowGot(false, 0, 0, "drawn by lot from the odds beforehand", [.. warnings]) { Drawn = new Sampling(n, size, worst, 1 / Math.Sqrt(size)) })
        { CauseErrors = a.Causes.ToImmutableDictionary(x => x.Key, x => Error(x.Value)) };
        (ulong Seed, double Weight)[] heaviest = [.. kept.OrderByDescending(k => k.Weight).Take(24)];
        return new Weighing(c, posterior, null, moves => [.. moves.Select(m => Value(c, m, tally, heaviest))], outgrown);

        double Error(double p) => Math.Max(1.0 / n, Math.Sqrt(Math.Max(0, p * (1 - p)) / size));
    }

    public static IEnumerable<SiteRef> Refs(Case c) =>
        c.Pieces.SelectMany(p => c.Family.Kinds.First(k => k.Id == p.Kind).Sites.Select(s => SiteRef.OfPiece(p.Id, s.Id)))
            .Concat(c.Systems.SelectMany(s => c.Family.Positions.SelectMany(p => p.Sites.Select(x => SiteRef.OfPosition(s.Id, p.Id, x.Id)))));

    private static bool Names(string set, string piece) => (" " + set).Contains(" " + piece + ".", StringComparison.Ordinal);

    private static ImmutableArray<(SiteRef, string)> Parse(Case c, string set)
    {
        var faults = set.Split(' ', StringSplitOptions.RemoveEmptyEntries).Select(f => f.Split('=')).ToDictionary(f => f[0], f => f[1]);
        return [.. Refs(c).Where(r => faults.ContainsKey(r.ToString())).Select(r => (r, faults[r.ToString()]))];
    }

    private static ImmutableArray<EntryWeight> Entries(PlainTally tally, PlainAnswer a)
    {
        var list = ImmutableArray.CreateBuilder<EntryWeight>();
        double before = 1;
        for (var i = 0; i < tally.Events.Count; i++)
        {
            var after = a.EvidenceAfter[i];
            if (tally.Events[i].Event is CaseEvent.Observe o)
                list.Add(new EntryWeight(o.Entry, Math.Log(after / before), 0, ImmutableDictionary<string, double>.Empty));
            before = after;
        }
        return list.ToImmutable();
    }

    private static MoveValue Value(Case c, Move m, PlainTally tally, (ulong Seed, double Weight)[] heaviest)
    {
        // Each world is acted out anew for each move, a millisecond or more a time: all of them would take minutes, so the heaviest few must do.
        var joint = new PlainMoveTally();
        var along = new double[tally.Events.Count];
        foreach (var (seed, _) in heaviest)
        {
            var world = PlainWalk.ByLot(c, seed);
            joint.Act(world, m, c.Events.Length, tally.Play(world, along), () => 1);
        }
        var a = joint.Answer();
        return new MoveValue(m.Id, a.InformationBits, a.Outcomes.ToImmutableDictionary(),
            Refs(c).Where(r => a.Kills.ContainsKey(r.ToString())).ToImmutableDictionary(r => r, r => a.Kills[r.ToString()]),
            ImmutableDictionary<string, ImmutableArray<(SiteRef, double, double)>>.Empty, 0.05);
    }
}
