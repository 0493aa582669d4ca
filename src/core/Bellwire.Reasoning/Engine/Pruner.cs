using Bellwire.Reasoning.Diagram;

namespace Bellwire.Reasoning.Engine;

/// <summary>What becomes of what the budget cannot hold: cut away; or blurred, for a diagram to draw from, into the mean of
/// itself, or into what hangs below the likeliest value of the same variable, as if the variable did not matter further down.</summary>
internal enum Blur { None, Mean, Sibling }

/// <summary>Cuts, or blurs, edges that carry little posterior mass.</summary>
internal static class Pruner
{
    /// <summary>Cuts the weakest edges whose mass adds up to at most <paramref name="allowance"/> of the posterior.</summary>
    /// <param name="blur">What hangs below such an edge instead of nought, scaled so that the edge carries what it carried.</param>
    /// <returns>The smaller diagram and the share of the posterior that went with it (an upper bound).</returns>
    public static (Edge Root, double Lost) Prune(Evidence e, Sweep sweep, double allowance, Blur blur = Blur.None)
    {
        var edges = sweep.Edges(sweep.Nodes);
        var flow = new double[edges];
        for (var at = 0; at < edges; at++) flow[at] = sweep.Weight(at) == 0 ? 0 : sweep.EdgeFlow(at);
        var sorted = (double[])flow.Clone();
        Array.Sort(sorted);
        double lost = 0, threshold = 0;
        foreach (var x in sorted)
        {
            if (lost + x > allowance) break;
            (lost, threshold) = (lost + x, x);
        }
        var made = new Edge[sweep.Nodes];
        made[0] = Edge.One;
        Span<double> weights = stackalloc double[256];
        Span<int> kids = stackalloc int[256];
        for (var i = 1; i < made.Length; i++)
        {
            var best = sweep.Edges(i);
            for (var at = best + 1; at < sweep.Edges(i + 1); at++)
                if (flow[at] > flow[best]) best = at;
            var n = sweep.Edges(i + 1) - sweep.Edges(i);
            for (var v = 0; v < n; v++)
            {
                var at = sweep.Edges(i) + v;
                var kid = made[sweep.Kid(at)];
                var kept = flow[at] > threshold;
                if (!kept && blur == Blur.Mean) kid = new Edge(sweep.MeanBelow(at), 0);
                if (!kept && blur == Blur.Sibling)
                {
                    var mean = sweep.MeanBelow(at, best);
                    kid = made[sweep.Kid(best)];
                    kid = mean > 0 ? kid with { Weight = kid.Weight * sweep.MeanBelow(at) / mean } : new Edge(sweep.MeanBelow(at), 0);
                }
                weights[v] = kept || blur != Blur.None ? sweep.Weight(at) * kid.Weight : 0;
                kids[v] = weights[v] > 0 ? kid.Node : 0;
            }
            made[i] = e.Make(sweep.Var(i), weights[..n], kids[..n]);
        }
        return (made[^1], lost);
    }
}
