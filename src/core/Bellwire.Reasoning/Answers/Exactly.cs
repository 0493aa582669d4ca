using Bellwire.Reasoning.Diagram;
using Bellwire.Reasoning.Engine;
using System.Collections.Immutable;

namespace Bellwire.Reasoning;

/// <summary>Questions about several sites at once, for sums of money: a marginal for each site does not answer them.</summary>
public static class Exactly
{
    /// <summary>P(at least one of the sites is now in one of the modes named), 0..1; exact when the weighing was; where worlds were drawn, their share.</summary>
    /// <param name="sites">Sites of the case with the modes that count; a site or mode the case does not know adds nothing.</param>
    /// <exception cref="InvalidOperationException">The tape contradicts itself.</exception>
    public static double AnyOf(Weighing weighing, IReadOnlyCollection<(SiteRef Site, ImmutableHashSet<string> Modes)> sites)
    {
        var belief = Demand(weighing);
        if (belief.How.Drawn is not null || weighing.Chain is not { } chain)
            return Math.Clamp(Drawn(weighing, belief).Where(s => s.Faults.Any(f => sites.Any(x => x.Site.Equals(f.Site) && x.Modes.Contains(f.Mode)))).Sum(s => s.Probability), 0, 1);
        lock (chain.World.Lock)
        {
            var functions = chain.World.Functions;
            var none = Functions.True;
            // From the bottom of the order upwards, as the joint probability of one fault set is built.
            foreach (var (info, modes) in sites.Select(s => (Info: chain.World.Anatomy.Find(s.Site), s.Modes)).Where(s => s.Info is not null).OrderByDescending(s => World.KeyOf(s.Info!, 0)))
                for (var state = 1; state < info!.States; state++)
                    if (modes.Contains(info.StateName(state))) none = functions.And(functions.Not(functions.Is(chain.Last.Site[info.Index], state, info.States)), none);
            return none == Functions.True ? 0 : Math.Clamp(1 - Beliefs.Of(chain, none, 2)[1], 0, 1);
        }
    }

    /// <summary>Fault sets drawn from the posterior, equal ones put together: their probability is their share of the draws.</summary>
    /// <param name="count">How many are drawn, at least 1.</param>
    /// <param name="seed">Equal seeds give equal draws.</param>
    /// <returns>Most frequent first; shares add up to 1. Where the weighing itself was drawn, its own worlds; where those were drawn from the odds beforehand, the likeliest sets, scaled to 1.</returns>
    public static ImmutableArray<FaultSet> Draw(Weighing weighing, int count, ulong seed)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(count, 1);
        var belief = Demand(weighing);
        if (belief.How.Drawn is not null || weighing.Chain is not { } chain) return Drawn(weighing, belief);
        lock (chain.World.Lock) return Sets(chain, new Lots(chain, count, seed));
    }

    /// <summary>A diagram to draw from is no answer, and a log that outgrew every diagram ends before its last looks: there the worlds that were drawn and weighed tell.</summary>
    private static ImmutableArray<FaultSet> Drawn(Weighing weighing, Posterior belief)
    {
        if (weighing is { Chain: { } chain, Planner: { } planner })
            lock (chain.World.Lock) return Sets(chain, planner.Drawn);
        var total = belief.MostProbable.Sum(s => s.Probability);
        return [.. belief.MostProbable.Where(s => s.Probability > 0).Select(s => s with { Probability = s.Probability / total })];
    }

    private static ImmutableArray<FaultSet> Sets(Chain chain, Lots lots)
    {
        var sites = chain.World.Anatomy.Sites;
        return [.. Enumerable.Range(0, lots.Count).GroupBy(i => lots.Group[i]).Select(g => new FaultSet(
            [.. lots.Faults[g.First()].Select(s => (sites[s].Ref, sites[s].StateName(lots.States[g.First()][s])))], (double)g.Count() / lots.Count))
            .OrderByDescending(s => s.Probability)];
    }

    private static Posterior Demand(Weighing weighing)
    {
        ArgumentNullException.ThrowIfNull(weighing);
        return weighing.Posterior ?? throw new InvalidOperationException("The tape contradicts itself; nothing can be said of it until that is mended.");
    }
}
