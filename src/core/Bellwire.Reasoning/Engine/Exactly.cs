using System.Collections.Immutable;
using Bellwire.Reasoning.Diagram;

namespace Bellwire.Reasoning.Engine;

/// <summary>Re-checks a move without lots. Its outcomes and what it may kill always; its information where, given the fault set, what
/// is read hangs only on switches that nothing seen has touched and that no cause moves.</summary>
internal sealed class Exactly(Chain chain)
{
    private readonly World _world = chain.World;
    private readonly Functions _f = chain.World.Functions;
    private readonly Moment _bare = Bare(chain);
    private readonly HashSet<int> _known = Known(chain);

    /// <summary>Nodes that one re-check may make before it is given up.</summary>
    private const int Most = 100_000;

    /// <summary>Numbers that the sweep over one re-check may have to hold.</summary>
    private const double MostCells = 2e7;

    private int Size(int f)
    {
        var seen = new HashSet<int>();
        var open = new Stack<int>([f]);
        while (open.TryPop(out var n))
            if (n >= 0 && seen.Add(n))
                foreach (var kid in _f.Kids(n)) open.Push(kid);
        return seen.Count;
    }

    /// <param name="sampled">The move as valued on drawn worlds; what cannot be re-checked stays as it is there.</param>
    public MoveValue Value(Move move, MoveValue sampled) => Limited(() => Rechecked(move, sampled)) ?? sampled;

    private MoveValue Rechecked(Move move, MoveValue sampled)
    {
        var after = Carry(chain.Last, move, out var kills);
        var (f, names) = Planner.Target(_world, after, move);
        var states = Chance(f, names.Count);
        var ids = move.Outcomes.Keys.Order(StringComparer.Ordinal).ToList();
        var tables = ids.Select(o => names.Select(s => move.Outcomes[o].GetValueOrDefault(s)).ToArray()).ToArray();
        var outcomes = Outcomes(states, tables);
        var exact = sampled with { Outcomes = ids.Select((o, i) => (o, i)).ToImmutableDictionary(x => x.o, x => outcomes[x.i]), Kills = kills };
        return Limited(() => Within(move, tables)) is { } within
            ? exact with { InformationBits = Math.Max(0, outcomes.Sum(Term) - within), StandardError = 0, Exact = true }
            : exact;
    }

    private double[] Chance(int f, int values) => chain.Sweep.Of(Binder.Expand(_world, f, chain.Last.Bound), values);

    private Moment Carry(Moment m, Move move, out ImmutableDictionary<SiteRef, double> kills)
    {
        var bare = ReferenceEquals(m, _bare);
        var index = chain.Links.Count + 1;
        foreach (var (position, piece) in move.Swaps) m = _world.Act(m, new CaseEvent.Place("", move.System, position, piece), index++);
        kills = ImmutableDictionary<SiteRef, double>.Empty;
        if (!move.PowersUp) return m;
        var after = _world.Act(m, new CaseEvent.PowerUp("", move.System, move.Setting), index);
        foreach (var s in _world.Anatomy.Sites)
        {
            if (bare || after.Site[s.Index] == m.Site[s.Index]) continue;
            var p = Chance(_f.And(_f.Is(m.Site[s.Index], 0, s.States), _f.Not(_f.Is(after.Site[s.Index], 0, s.States))), 2)[1];
            if (p > 0) kills = kills.Add(s.Ref, p);
        }
        return after;
    }

    /// <summary>Mean over fault sets x of H(O | x), bits; null where it cannot be had this way.</summary>
    private double? Within(Move move, double[][] tables)
    {
        // The move is acted out on sites that are variables of their own, standing for the fault set.
        var after = Carry(_bare, move, out _);
        var (f, names) = Planner.Target(_world, after, move);
        f = Binder.Expand(_world, f, []);
        var spreads = new Spreads(_world, names.Count);
        if (spreads.Of(f, v => chain.Sweep.Mentions(v) || _known.Contains(v.Id)) is not { } over) return null;
        var which = Binder.Expand(_world, Composed(over, []), chain.Last.Bound);
        // The sweep keeps one row of values for each pair of nodes it meets: what could not be held is not begun.
        if ((double)Size(which) * chain.Sweep.Nodes * spreads.Count > MostCells) return null;
        var p = chain.Sweep.Of(which, spreads.Count);
        double mean = 0;
        for (var k = 0; k < p.Length; k++)
            if (p[k] > 0) mean += p[k] * Outcomes(spreads[k], tables).Sum(Term);
        return mean;
    }

    /// <summary>Null (or nothing) when the reckoning would make more than <see cref="Most"/> nodes.</summary>
    private T? Limited<T>(Func<T?> reckon)
    {
        var before = _f.Ceiling;
        _f.Ceiling = Math.Min(before, _f.Count + Most);
        try { return reckon(); }
        catch (DiagramTooLargeException) { return default; }
        finally { _f.Ceiling = before; }
    }

    /// <summary>Every variable that the state of some site hangs on, through hazards too: knowing the fault set tells of them.</summary>
    private static HashSet<int> Known(Chain c)
    {
        var all = new HashSet<int>();
        var seen = new HashSet<int>();
        foreach (var f in c.Last.Site) c.World.Functions.Support(f, all, seen);
        foreach (var t in c.World.Ties.Reverse())
        {
            if (!all.Contains(t.Switch.Id)) continue;
            all.Add(t.Lot.Id);
            c.World.Functions.Support(t.Trigger, all, seen);
        }
        return all;
    }

    /// <summary>A function of the standing-in variables, written over the sites they stand for.</summary>
    private int Composed(int f, Dictionary<int, int> memo)
    {
        if (f < 0) return f;
        if (memo.TryGetValue(f, out var known)) return known;
        var s = _world.StoodFor(_f.Var(f))!;
        var kids = _f.Kids(f).ToArray();
        var r = Composed(kids[0], memo);
        for (var k = 1; k < kids.Length; k++)
            r = _f.IfThenElse(_f.Is(chain.Last.Site[s.Index], k, s.States), Composed(kids[k], memo), r);
        return memo[f] = r;
    }

    private static Moment Bare(Chain c)
    {
        if (c.World.Bare is not { } sites)
        {
            sites = [.. c.World.Anatomy.Sites.Select(c.World.StandIn)];
            c.World.Bare = sites;
        }
        return c.Last with { Site = sites };
    }

    private static double[] Outcomes(double[] states, double[][] tables) => [.. tables.Select(t =>
    {
        double p = 0;
        for (var s = 0; s < t.Length; s++) p += states[s] * t[s];
        return p;
    })];

    private static double Term(double p) => p > 0 ? -p * Math.Log2(p) : 0;
}
