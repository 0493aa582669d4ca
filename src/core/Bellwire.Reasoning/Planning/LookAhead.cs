using System.Collections.Immutable;

namespace Bellwire.Reasoning.Planning;

/// <summary>Expected remaining cost by bounded look-ahead over the leading acts, deeper and deeper as long as there is leave. At the edge a
/// simple way to the end is reckoned instead: mend by chance over cost, or ask at the best rate of bits for the cost.
/// Ancestors: Heckerman, Breese &amp; Rommelse (1995); Pattipati &amp; Alexandridis (1990).</summary>
public static class LookAhead
{
    /// <summary>Ranks what could be done next.</summary>
    /// <param name="enough">When it is cancelled the search stops and answers from the depth it has finished: how long to look is the caller's to say.</param>
    /// <param name="tell">Told the plan of each depth as it is finished.</param>
    /// <exception cref="ArgumentException">The problem does not hold together; the message says where.</exception>
    public static Plan Rank(PlanProblem problem, PlanOptions? options = null, CancellationToken ct = default, CancellationToken enough = default, Action<Plan>? tell = null)
    {
        ArgumentNullException.ThrowIfNull(problem);
        problem.Demand();
        return new Search(problem, options ?? new PlanOptions(), ct, enough).Rank(new Belief([.. problem.Chances], 0), true, tell);
    }

    /// <summary>Follows the plans to the end, planning anew after every outcome, in every state there could be.</summary>
    /// <exception cref="ArgumentException">The problem does not hold together; the message says where.</exception>
    public static Outlook Follow(PlanProblem problem, PlanOptions? options = null, CancellationToken ct = default)
    {
        ArgumentNullException.ThrowIfNull(problem);
        problem.Demand();
        var search = new Search(problem, options ?? new PlanOptions(), ct, default);
        var plans = new Dictionary<Belief, Plan>(new Belief.Alike());
        var costs = new SortedDictionary<double, double>();
        Go(new Belief([.. problem.Chances], 0), 1, 0);
        double mean = costs.Sum(c => c.Key * c.Value), square = costs.Sum(c => c.Key * c.Key * c.Value);
        return new Outlook(mean, Math.Sqrt(Math.Max(0, square - mean * mean)), [.. costs.Select(c => (c.Key, c.Value))]);

        void Go(Belief belief, double chance, double spent)
        {
            if (!plans.TryGetValue(belief, out var plan)) plans[belief] = plan = search.Rank(belief);
            if (plan.GiveUp || plan.Acts.IsEmpty)
            {
                End(chance, plan.GiveUp ? spent + problem.GivingUp : spent);
                return;
            }
            // Beliefs that agree to ten digits share a plan; an act may tell nothing more in one of them.
            var (act, ways) = plan.Acts.Select(a => Number(a.Act)).Select(i => (i, belief.Do(problem, i))).First(x => x.Item2 is not null);
            foreach (var (_, p, after, over) in ways!)
                if (over) End(chance * p, spent + problem.Cost(act, belief.Done));
                else Go(after, chance * p, spent + problem.Cost(act, belief.Done));
        }

        int Number(string act) => Enumerable.Range(0, problem.Acts.Length).First(i => problem.Acts[i].Id == act);

        void End(double chance, double spent)
        {
            var cost = Math.Round(spent, 9);
            costs[cost] = costs.GetValueOrDefault(cost) + chance;
        }
    }
}
