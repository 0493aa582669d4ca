using System.Collections.Immutable;
using Bellwire.Reasoning.Diagram;

namespace Bellwire.Reasoning.Engine;

/// <summary>Reads marginals off a chain as it stands.</summary>
internal static class Beliefs
{
    /// <summary>Posterior of each site's state now.</summary>
    public static double[][] Now(Chain c)
    {
        if (c.Now is { } known) return known;
        try { return c.Now = c.Sweep.Of([.. c.World.Anatomy.Sites.Select(s => (Binder.Expand(c.World, c.Last.Site[s.Index], c.Last.Bound), s.States))]); }
        catch (DiagramTooLargeException) { return c.Now = [.. c.World.Anatomy.Sites.Select(s => Of(c, c.Last.Site[s.Index], s.States))]; }
    }

    /// <summary>Where the walk has no room, the share of worlds drawn from the diagram; the chain is then no longer exact.</summary>
    public static double[] Of(Chain c, int f, int values)
    {
        try { return c.Sweep.Of(Binder.Expand(c.World, f, c.Last.Bound), values); }
        catch (DiagramTooLargeException)
        {
            c.GiveUp();
            var lots = c.Worlds;
            var share = new double[values];
            for (var i = 0; i < lots.Count; i++) share[lots.Value(f, i)] += 1.0 / lots.Count;
            return share;
        }
    }

    /// <summary>P(not good now), each site; kept with the last link.</summary>
    public static double[] Faulty(Chain c)
    {
        if (c.Links.Count == 0) return [.. Now(c).Select(p => 1 - p[0])];
        return c.Links[^1].Faulty ??= [.. Now(c).Select(p => p.Skip(1).Sum())];
    }

    public static ImmutableArray<SiteBelief> Sites(Chain c)
    {
        var now = Now(c);
        return [.. c.World.Anatomy.Sites.Select(s => new SiteBelief(s.Ref, Named(s, now[s.Index]),
            c.World.Original[s.Index] == c.Last.Site[s.Index] ? Named(s, now[s.Index]) : Named(s, Of(c, c.World.Original[s.Index], s.States))))];
    }

    public static ImmutableArray<PieceBelief> Pieces(Chain c)
    {
        var sites = c.World.Anatomy.Sites.Where(s => s.Ref.Piece is not null).ToLookup(s => s.Ref.Piece!);
        var pieces = c.World.Anatomy.Case.Pieces;
        var good = Chances(c, [.. pieces.Select(p => AllGood(c, sites[p.Id]))]);
        return [.. pieces.Select((p, i) => new PieceBelief(p.Id, Math.Max(0, 1 - good[i])))];
    }

    /// <summary>P(each of many yes-or-no functions).</summary>
    public static double[] Chances(Chain c, IReadOnlyList<int> functions)
    {
        try { return c.Sweep.Chances([.. functions.Select(f => Binder.Expand(c.World, f, c.Last.Bound))]); }
        catch (DiagramTooLargeException) { return [.. functions.Select(f => f < 0 ? ~f : Of(c, f, 2)[1])]; }
    }

    public static ImmutableDictionary<string, double> Causes(Chain c) =>
        Anatomy.CauseNames(c.World.Anatomy.Case).ToImmutableDictionary(n => n,
            n => c.Sweep.Lane.Select((p, l) => c.World.Anatomy.Works(n, l) ? p : 0).Sum());

    /// <summary>Posterior probability of exact joint states of all sites.</summary>
    public static double[] Joint(Chain c, IReadOnlyList<byte[]> sets)
    {
        var f = c.World.Functions;
        var sites = c.World.Anatomy.Sites.OrderByDescending(s => World.KeyOf(s, 0)).ToArray();
        var alone = sites.Select(s => f.Alone(c.Last.Site[s.Index])).ToArray();
        var slice = new Slice(c.Sweep, f);
        return [.. sets.Select(states =>
        {
            // A site that hangs on one variable only leaves some of its values open; the others are tied together by a function.
            var open = new Dictionary<int, bool[]>();
            for (var i = 0; i < sites.Length; i++)
            {
                var (g, state) = (c.Last.Site[sites[i].Index], states[sites[i].Index]);
                if (g < 0 && ~g != state) return 0;
                if (g < 0 || !alone[i]) continue;
                if (!open.TryGetValue(f.Var(g), out var values)) Array.Fill(open[f.Var(g)] = values = new bool[f.Kids(g).Length], true);
                for (var x = 0; x < values.Length; x++) values[x] &= f.Kids(g)[x] == ~state;
            }
            var held = new Held(f, open);
            var rest = Functions.True;
            for (var i = 0; i < sites.Length && rest != Functions.False; i++)
                if (!alone[i]) rest = f.And(held.Of(f.Is(c.Last.Site[sites[i].Index], states[sites[i].Index], sites[i].States)), rest);
            return slice.Chance(open, Binder.Expand(c.World, rest, c.Last.Bound, held.Of));
        })];
    }

    private static int AllGood(Chain c, IEnumerable<SiteInfo> sites)
    {
        var f = Functions.True;
        foreach (var s in sites) f = c.World.Functions.And(c.World.Functions.Is(c.Last.Site[s.Index], 0, s.States), f);
        return f;
    }

    private static ImmutableDictionary<string, double> Named(SiteInfo s, double[] p)
    {
        var b = ImmutableDictionary.CreateBuilder<string, double>();
        for (var i = 0; i < p.Length; i++) b[s.StateName(i)] = p[i];
        return b.ToImmutable();
    }
}
