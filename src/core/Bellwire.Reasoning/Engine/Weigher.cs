using System.Collections.Immutable;
using Bellwire.Reasoning.Diagram;

namespace Bellwire.Reasoning.Engine;

/// <summary>Weighs a case through the evidence diagram.</summary>
internal static class Weigher
{
    private const int StoreLimit = 800_000;

    public static Weighing Weigh(Case c, WeighOptions options, CancellationToken ct, Weighing? previous)
    {
        var events = OnceOnly.Of(c);
        lock (previous?.Chain?.World.Lock ?? new object())
        {
            if (previous?.Chain is { Outgrown: true } before && Goes(before, c, options, events)) return Plain.PlainLot.Weigh(c, options, ct, before);
            var chain = Continue(c, options, events, previous?.Chain);
            try
            {
                // Cut less, then blur: each rung only when the one before says nothing.
                for (var stands = Try(ref chain, events, ct); ; stands = Try(ref chain, events, ct))
                {
                    if (!stands && !chain.Cut) return Contradicted(c, options, events, chain, ct);
                    // What a blurred diagram has no room for may be possible all the same.
                    if (!stands && chain.Blurs) return FromThePrior(c, options, chain, ct);
                    if (stands && (chain.Blurs || chain.Last.Lost <= options.MostLost)) break;
                    chain = chain.Options == options && stands
                        ? new Chain(new World(new Anatomy(c)), options with { NodeBudget = options.NodeBudget * 2 }, options.LossPerEntry / 100, options) { Past = Past(chain) }
                        : Blurred(c, options, Past(chain));
                }
                return chain is { Blurs: true, Cut: true } ? Drawn(c, options, events, chain, ct) : Answer(c, options, events, chain);
            }
            catch (DiagramTooLargeException)
            {
                // A state itself, not its weight, outgrew what can be written down.
                return FromThePrior(c, options, chain, ct);
            }
        }
    }

    private static Weighing FromThePrior(Case c, WeighOptions options, Chain chain, CancellationToken ct)
    {
        chain.Outgrown = true;
        return Plain.PlainLot.Weigh(c, options, ct, chain);
    }

    private static List<double[]?> Past(Chain chain) => [.. chain.Links.Select(l => l.Faulty)];

    /// <summary>Two diagrams to draw from. They need not be as large as one to read answers off.</summary>
    private static Chain Blurred(Case c, WeighOptions options, IReadOnlyList<double[]?> past)
    {
        var chain = new Chain(new World(new Anatomy(c)), options, options.LossPerEntry, options, Blur.Sibling) { Past = past };
        chain.Partner = new Chain(chain.World, options with { NodeBudget = Math.Max(1, options.NodeBudget / 3) }, options.LossPerEntry, options, Blur.Mean);
        return chain;
    }

    /// <summary>Reckons the log. False when it cannot have happened, or when a chain that cuts outgrew all bounds: its answer would say nothing.</summary>
    private static bool Try(ref Chain chain, List<CaseEvent> events, CancellationToken ct)
    {
        try { return Run(ref chain, events, ct); }
        catch (DiagramTooLargeException) when (!chain.Blurs)
        {
            chain.GiveUp();
            return false;
        }
    }

    private static Chain Continue(Case c, WeighOptions options, List<CaseEvent> events, Chain? old)
    {
        if (old is null || old.Outgrown || !Same(old.World.Anatomy.Case, c) || old.Asked != options)
            return new Chain(new World(new Anatomy(c)), options, options.LossPerEntry, options);
        var shared = 0;
        while (shared < old.Links.Count && shared < events.Count && old.Links[shared].Text == Describe.Of(events[shared])) shared++;
        // Weights are read at the last event of each entry; where that has become another event, start before it.
        while (shared > 0 && old.Links[shared - 1].Faulty is null && (shared == events.Count || events[shared].Entry != events[shared - 1].Entry)) shared--;
        // What was blurred only later than the two logs part may do without now.
        if (old.Blurs && !(shared > 0 && old.Links[shared - 1].Cut) && shared < old.Links.Count) return new Chain(new World(new Anatomy(c)), options, options.LossPerEntry, options);
        var chain = old.Fork(shared);
        return old.World.Evidence.Count > StoreLimit ? chain.Swept() : chain;
    }

    /// <summary>Whether a log begins as one that outgrew every diagram: it would do so again.</summary>
    private static bool Goes(Chain outgrown, Case c, WeighOptions options, List<CaseEvent> events) =>
        outgrown.Asked == options && events.Count > outgrown.Links.Count && Same(outgrown.World.Anatomy.Case, c)
        && outgrown.Links.Zip(events).All(x => x.First.Text == Describe.Of(x.Second));

    private static bool Same(Case a, Case b) =>
        ReferenceEquals(a.Family, b.Family) && a.Pieces.SequenceEqual(b.Pieces)
        && a.Systems.Length == b.Systems.Length
        && a.Systems.Zip(b.Systems).All(x => x.First with { InitialPieces = x.Second.InitialPieces } == x.Second && Equal(x.First.InitialPieces, x.Second.InitialPieces))
        && Equal(a.KnownCauses, b.KnownCauses);

    private static bool Equal<T>(ImmutableDictionary<string, T> a, ImmutableDictionary<string, T> b) =>
        a.Count == b.Count && a.All(x => b.TryGetValue(x.Key, out var v) && EqualityComparer<T>.Default.Equals(v, x.Value));

    private static bool Run(ref Chain chain, List<CaseEvent> events, CancellationToken ct)
    {
        var most = StoreLimit;
        for (var i = chain.Links.Count; i < events.Count; i++)
        {
            ct.ThrowIfCancellationRequested();
            if (chain.World.Evidence.Count > most)
            {
                // What operations left behind: on a long log it would be most of the memory.
                chain = chain.Swept();
                most = 2 * chain.World.Evidence.Count + StoreLimit;
            }
            if (!chain.Add(events[i], Describe.Of(events[i]), i)) return false;
            if (chain.Partner?.Add(events[i], Describe.Of(events[i]), i) == false) return false;
            if (i + 1 < events.Count && i < chain.Past.Count && chain.Past[i] is { } past) chain.Links[i].Faulty = past;
            else if (i + 1 == events.Count || events[i + 1].Entry != events[i].Entry) Beliefs.Faulty(chain);
        }
        return true;
    }

    private static Weighing Answer(Case c, WeighOptions options, List<CaseEvent> events, Chain chain)
    {
        var planner = new Planner(chain);
        Exactly? recheck = null;
        var lost = chain.Blurs ? 0 : chain.Last.Lost;
        var warnings = new List<string>();
        foreach (var (link, e) in chain.Links.Zip(events))
            if (link.LogPredictive < Math.Log(1e-6)) warnings.Add($"Entry {e.Entry} was next to impossible beforehand (1 in {Math.Exp(-link.LogPredictive):0.#e+0}).");
        var sets = planner.MostProbable(options.MaxFaultSets);
        var (sites, pieces) = (Beliefs.Sites(chain), Beliefs.Pieces(chain));
        if (chain.Shares is { } shares) warnings.Add(shares);
        var how = new HowGot(!chain.Cut, lost, chain.Sweep.Nodes, chain.Cut ? "evidence diagram, cut by posterior flow" : "evidence diagram, exact", [.. warnings]);
        var posterior = new Posterior(sites, pieces, Beliefs.Causes(chain),
            [.. sets.Take(options.MaxFaultSets)], chain.Last.LogEvidence, Entries(chain, events),
            sets.First(s => s.Faults.IsEmpty).Probability, how);
        return new Weighing(c, posterior, null, moves =>
        {
            lock (chain.World.Lock) return [.. moves.Select(planner.Value)];
        }, chain, (move, value) =>
        {
            lock (chain.World.Lock) return (recheck ??= new Exactly(chain)).Value(move, value);
        }) { Planner = planner };
    }

    private static Weighing Drawn(Case c, WeighOptions options, List<CaseEvent> events, Chain chain, CancellationToken ct)
    {
        var drawn = new Sampled(chain, ct);
        if (drawn.Size == 0)
            return new Weighing(c, null, new Contradiction([.. events.OfType<CaseEvent.Observe>().Select(e => e.Entry).Distinct()],
                $"None of {drawn.Count} worlds drawn by lot explains the tape."), _ => []);
        var posterior = ByLot.Posterior(chain, drawn, options) with { Entries = Entries(chain, events) };
        var planner = new Planner(chain, drawn.Even(options.Samples), [.. posterior.Sites.Select(s => s.Faulty)]);
        return new Weighing(c, posterior, null, moves =>
        {
            lock (chain.World.Lock) return [.. moves.Select(planner.Value)];
        }, chain) { Planner = planner };
    }

    /// <summary>One weight for each entry, in the order of the log: all its events together.</summary>
    private static ImmutableArray<EntryWeight> Entries(Chain chain, List<CaseEvent> events)
    {
        var list = ImmutableArray.CreateBuilder<EntryWeight>();
        var sites = chain.World.Anatomy.Sites;
        var before = chain.World.Beforehand ??= Beliefs.Faulty(chain.Fork(0));
        double log = 0, expected = 0;
        for (var i = 0; i < events.Count; i++)
        {
            log += chain.Links[i].LogPredictive;
            expected += chain.Links[i].Expected;
            if (i + 1 < events.Count && events[i + 1].Entry == events[i].Entry) continue;
            var after = chain.Links[i].Faulty!;
            var decibans = ImmutableDictionary.CreateBuilder<string, double>();
            for (var s = 0; s < after.Length; s++)
            {
                var change = Odds(after[s]) - Odds(before[s]);
                if (Math.Abs(change) > 1e-9) decibans[sites[s].Ref.ToString()] = change;
            }
            list.Add(new EntryWeight(events[i].Entry, log, -log - expected, decibans.ToImmutable()));
            (before, log, expected) = (after, 0, 0);
        }
        return list.ToImmutable();
    }

    private static double Odds(double p) => 10 * Math.Log10(Math.Clamp(p, 1e-30, 1) / Math.Clamp(1 - p, 1e-30, 1));

    /// <summary>Finds a set of entries none of which can be left out of the clash.</summary>
    private static Weighing Contradicted(Case c, WeighOptions options, List<CaseEvent> events, Chain chain, CancellationToken ct)
    {
        var clash = events.Take(chain.Links.Count + 1).ToList();
        for (var i = clash.Count - 2; i >= 0; i--)
        {
            ct.ThrowIfCancellationRequested();
            if (clash[i] is not CaseEvent.Observe) continue;
            var without = clash.Where((_, k) => k != i).ToList();
            var trial = new Chain(new World(chain.World.Anatomy), options, options.LossPerEntry, options);
            var stands = true;
            for (var k = 0; k < without.Count && stands; k++) stands = trial.Add(without[k], "", k);
            if (!stands) clash = without;
        }
        var entries = clash.OfType<CaseEvent.Observe>().Select(o => o.Entry).Distinct().ToImmutableArray();
        var words = entries.Length == 1 ? $"Entry {entries[0]} cannot have happened in this hook-up." : $"Entries {string.Join(", ", entries)} cannot all be true.";
        return new Weighing(c, null, new Contradiction(entries, words), _ => []);
    }
}
