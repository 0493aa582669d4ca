using System.Collections.Immutable;
using Bellwire.Reasoning.Engine;

namespace Bellwire.Reasoning;

/// <summary>A good site killed at a power-up.</summary>
/// <param name="Entry">The entry of the power-up.</param>
/// <param name="Probability">P(it was good before and is killed there | everything on the tape, later entries too), 0..1.</param>
public sealed record Harm(SiteRef Site, string Entry, double Probability)
{
    /// <summary>What each power-up of the tape has killed. Where figures were drawn by lot, nothing is said.</summary>
    /// <param name="least">Harms less likely than this are left out, 0..1.</param>
    /// <returns>Likeliest first.</returns>
    /// <exception cref="InvalidOperationException">The tape contradicts itself.</exception>
    public static ImmutableArray<Harm> Of(Weighing weighing, double least = 0.01)
    {
        ArgumentNullException.ThrowIfNull(weighing);
        if (weighing.Posterior is not { } belief) throw new InvalidOperationException("The tape contradicts itself; nothing can be said of it until that is mended.");
        if (weighing.Chain is not { } chain || belief.How.Drawn is not null) return [];
        lock (chain.World.Lock)
        {
            var functions = chain.World.Functions;
            var asked = new List<(SiteRef Site, string Entry, int Dies)>();
            // As the chain has them: looks made again in the same hook-up are in it once.
            var events = OnceOnly.Of(weighing.Case);
            for (var i = 0; i < Math.Min(chain.Links.Count, events.Count); i++)
            {
                if (events[i] is not CaseEvent.PowerUp) continue;
                int[] before = (i == 0 ? chain.World.Start : chain.Links[i - 1].After).Site, after = chain.Links[i].After.Site;
                foreach (var site in chain.World.Anatomy.Sites.Where(s => before[s.Index] != after[s.Index]))
                {
                    var dies = functions.And(functions.Is(before[site.Index], 0, site.States), functions.Not(functions.Is(after[site.Index], 0, site.States)));
                    asked.Add((site.Ref, events[i].Entry, dies));
                }
            }
            if (asked.Count == 0) return [];
            return [.. asked.Zip(Beliefs.Chances(chain, [.. asked.Select(a => a.Dies)]), (a, p) => new Harm(a.Site, a.Entry, Math.Clamp(p, 0, 1)))
                .Where(h => h.Probability > 0 && h.Probability >= least).OrderByDescending(h => h.Probability)];
        }
    }
}
