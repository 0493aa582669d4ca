using Bellwire.Reasoning.Diagram;

namespace Bellwire.Reasoning.Engine;

/// <summary>Cuts edges that carry little posterior mass.</summary>
internal static class Pruner
{
    /// <summary>Cuts the weakest edges whose mass adds up to at most <paramref name="allowance"/> of the posterior.</summary>
    /// <returns>The smaller diagram and the share of the posterior that went with it (an upper bound).</returns>
    public static (Edge Root, double Lost) Prune(Evidence e, Sweep sweep, double allowance)
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
            var n = sweep.Edges(i + 1) - sweep.Edges(i);
            for (var v = 0; v < n; v++)
            {
                var at = sweep.Edges(i) + v;
                var kid = made[sweep.Kid(at)];
                var kept = flow[at] > threshold;
                weights[v] = kept ? sweep.Weight(at) * kid.Weight : 0;
                kids[v] = kept ? kid.Node : 0;
            }
            made[i] = e.Make(sweep.Var(i), weights[..n], kids[..n]);
        }
        return (made[^1], lost);
    }
}
