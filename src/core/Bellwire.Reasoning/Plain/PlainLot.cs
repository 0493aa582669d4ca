using System.Collections.Immutable;

namespace Bellwire.Reasoning.Plain;

/// <summary>Weighs a case by worlds drawn by lot from the prior, each counted by the likelihood of what was seen.
/// The last resort: unbiased, but rough when the evidence is unlikely beforehand.</summary>
internal static class PlainLot
{
    public static Weighing Weigh(Case c, WeighOptions options, CancellationToken ct)
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
                $"None of {n} worlds drawn by lot explains the tape."), _ => []);
        var size = sum * sum / squares;
        var a = tally.Answer(n, false);
        string[] warnings = size < 400 ? [$"Only {size:0} of {n} drawn worlds carry weight; figures are rough (about ±{0.5 / Math.Sqrt(size):0.00})."] : [];
        var posterior = new Posterior(
            [.. Refs(c).Select(r => new SiteBelief(r, a.Now[r.ToString()].ToImmutableDictionary(), a.Original[r.ToString()].ToImmutableDictionary()))],
            [.. c.Pieces.Select(p => new PieceBelief(p.Id, a.FaultSets.Where(s => Names(s.Key, p.Id)).Sum(s => s.Value)))],
            a.Causes.ToImmutableDictionary(),
            [.. a.FaultSets.OrderByDescending(s => s.Value).ThenBy(s => s.Key, StringComparer.Ordinal).Take(options.MaxFaultSets).Select(s => new FaultSet(Parse(c, s.Key), s.Value))],
            Math.Log(a.Evidence), Entries(tally, a), a.FaultSets.GetValueOrDefault(""),
            new HowGot(false, 0, 0, $"drawn by lot, {n} worlds, effective {size:0}", [.. warnings]));
        return new Weighing(c, posterior, null, moves => [.. moves.Select(m => Value(c, m, tally, kept))]);
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

    private static MoveValue Value(Case c, Move m, PlainTally tally, List<(ulong Seed, double Weight)> kept)
    {
        var joint = new PlainMoveTally();
        var along = new double[tally.Events.Count];
        foreach (var (seed, _) in kept.OrderByDescending(k => k.Weight).Take(400))
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
