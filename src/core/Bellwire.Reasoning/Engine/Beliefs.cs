using System.Collections.Immutable;
using Bellwire.Reasoning.Diagram;

namespace Bellwire.Reasoning.Engine;

/// <summary>Reads marginals off a chain as it stands.</summary>
internal static class Beliefs
{
    /// <summary>Posterior of each site's state now.</summary>
    public static double[][] Now(Chain c) =>
        c.Now ??= [.. c.World.Anatomy.Sites.Select(s => Of(c, c.Last.Site[s.Index], s.States))];

    public static double[] Of(Chain c, int f, int values) => c.Sweep.Of(Binder.Expand(c.World, f, c.Last.Bound), values);

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
        var faulty = Faulty(c);
        return [.. c.World.Anatomy.Case.Pieces.Select(p =>
        {
            var sites = c.World.Anatomy.Sites.Where(s => s.Ref.Piece == p.Id).ToList();
            return new PieceBelief(p.Id, sites.Count == 1 ? faulty[sites[0].Index] : 1 - Of(c, AllGood(c, sites), 2)[1]);
        })];
    }

    public static ImmutableDictionary<string, double> Causes(Chain c) =>
        Anatomy.CauseNames(c.World.Anatomy.Case).ToImmutableDictionary(n => n,
            n => c.Sweep.Lane.Select((p, l) => c.World.Anatomy.Works(n, l) ? p : 0).Sum());

    /// <summary>Posterior probability of one exact joint state of all sites.</summary>
    public static double Joint(Chain c, int[] states)
    {
        var f = Functions.True;
        foreach (var s in c.World.Anatomy.Sites.OrderByDescending(s => World.KeyOf(s, 0)))
        {
            f = c.World.Functions.And(c.World.Functions.Is(c.Last.Site[s.Index], states[s.Index], s.States), f);
            if (f == Functions.False) return 0;
        }
        return Of(c, f, 2)[1];
    }

    private static int AllGood(Chain c, List<SiteInfo> sites)
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
