using System.Collections.Immutable;
using System.Globalization;

namespace Bellwire.Reasoning.Engine;

/// <summary>The answer read off weighted worlds, labelled for what it is.</summary>
internal static class ByLot
{
    /// <summary>Everything but the entries.</summary>
    public static Posterior Posterior(Chain chain, Sampled drawn, WeighOptions options)
    {
        var anatomy = chain.World.Anatomy;
        var causes = Beliefs.Causes(chain).ToDictionary(x => x.Key, x => drawn.Share((lots, i) => anatomy.Works(x.Key, lots.Lane[i]), x.Value));
        var sets = Sets(chain, drawn, options.MaxFaultSets);
        var (log, logError) = drawn.Evidence;
        var warnings = new List<string>
        {
            string.Create(CultureInfo.InvariantCulture, $"Sampled, ± {drawn.Worst:0.0000} at worst (one standard error): the reckoning grew past its bounds, so {drawn.Count} worlds were drawn by lot, worth {drawn.Size:0} of equal weight. The weights of single entries are rougher."),
        };
        if (chain.Shares is { } shares) warnings.Add(shares);
        if (drawn.Size < Sampling.Thin) warnings.Add(string.Create(CultureInfo.InvariantCulture, $"Only {drawn.Size:0} of the drawn worlds carry weight: take the figures, and their standard errors, as rough."));
        return new Posterior(
            Sites(chain, drawn), Pieces(chain, drawn), causes.ToImmutableDictionary(x => x.Key, x => x.Value.P), [.. sets.Take(options.MaxFaultSets)],
            log, [], sets.First(s => s.Faults.IsEmpty).Probability,
            new HowGot(false, 0, chain.Sweep.Nodes, "drawn by lot from a blurred evidence diagram", [.. warnings])
            {
                Drawn = new Sampling(drawn.Count, drawn.Size, drawn.Worst, logError),
            })
        { CauseErrors = causes.ToImmutableDictionary(x => x.Key, x => x.Value.Error) };
    }

    private static ImmutableArray<SiteBelief> Sites(Chain chain, Sampled drawn)
    {
        var blurred = Beliefs.Sites(chain);
        var original = chain.World.Original;
        return [.. chain.World.Anatomy.Sites.Select(s =>
        {
            var now = Enumerable.Range(0, s.States).ToDictionary(s.StateName, k => drawn.Site(s.Index, k, blurred[s.Index].Now[s.StateName(k)]));
            var p = Whole(now.ToDictionary(x => x.Key, x => x.Value.P));
            var then = original[s.Index] == chain.Last.Site[s.Index] ? p
                : Whole(Enumerable.Range(0, s.States).ToDictionary(s.StateName,
                    k => drawn.Share((lots, i) => lots.Value(original[s.Index], i) == k, blurred[s.Index].Original[s.StateName(k)]).P));
            return new SiteBelief(s.Ref, p, then) { NowErrors = now.ToImmutableDictionary(x => x.Key, x => x.Value.Error) };
        })];
    }

    /// <summary>Shares that were each estimated by themselves, made to add up to one.</summary>
    private static ImmutableDictionary<string, double> Whole(Dictionary<string, double> p)
    {
        var bad = p.Where(x => x.Key != "good").Sum(x => x.Value);
        var scale = bad > 0 ? (1 - p["good"]) / bad : 0;
        return p.ToImmutableDictionary(x => x.Key, x => x.Key == "good" ? bad > 0 ? x.Value : 1 : x.Value * scale);
    }

    private static ImmutableArray<PieceBelief> Pieces(Chain chain, Sampled drawn)
    {
        var sites = chain.World.Anatomy.Sites.Where(s => s.Ref.Piece is not null).ToLookup(s => s.Ref.Piece!, s => s.Index);
        return [.. Beliefs.Pieces(chain).Select(b =>
        {
            var own = sites[b.Piece].ToArray();
            var (p, error) = drawn.Share((lots, i) => lots.Faults[i].AsSpan().ContainsAny(own), b.Faulty);
            return new PieceBelief(b.Piece, p, error);
        })];
    }

    private static List<FaultSet> Sets(Chain chain, Sampled drawn, int most)
    {
        var weight = new Dictionary<string, (byte[] States, double Weight)>();
        for (var b = 0; b < drawn.Batches.Count; b++)
            for (var i = 0; i < drawn.Batches[b].Count; i++)
            {
                var x = drawn.Batches[b].States[i];
                var name = Convert.ToBase64String(x);
                weight[name] = (x, weight.GetValueOrDefault(name).Weight + drawn.W(b, i));
            }
        var likely = weight.OrderByDescending(x => x.Value.Weight).ThenBy(x => x.Key, StringComparer.Ordinal).Take(most + 4).Select(x => x.Value.States).ToList();
        var sites = chain.World.Anatomy.Sites;
        if (!likely.Any(x => x.All(s => s == 0))) likely.Add(new byte[sites.Count]);
        return [.. likely.Zip(Beliefs.Joint(chain, likely), (x, q) =>
            {
                var (p, error) = drawn.Share((lots, i) => lots.States[i].AsSpan().SequenceEqual(x), q);
                return new FaultSet([.. sites.Where(s => x[s.Index] != 0).Select(s => (s.Ref, s.StateName(x[s.Index])))], p, error);
            }).OrderByDescending(s => s.Probability)];
    }
}
