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
        var (threshold, lost) = Threshold(Sorted(sweep), allowance);
        var made = new Edge[sweep.Nodes];
        made[0] = Edge.One;
        Span<double> weights = stackalloc double[256];
        Span<int> kids = stackalloc int[256];
        for (var i = 1; i < made.Length; i++)
        {
            var best = sweep.Edges(i);
            for (var at = best + 1; at < sweep.Edges(i + 1); at++)
                if (sweep.EdgeFlow(at) > sweep.EdgeFlow(best)) best = at;
            var n = sweep.Edges(i + 1) - sweep.Edges(i);
            for (var v = 0; v < n; v++)
            {
                var at = sweep.Edges(i) + v;
                var kid = made[sweep.Kid(at)];
                var kept = sweep.EdgeFlow(at) > threshold;
                if (!kept && blur == Blur.Mean) kid = new Edge(sweep.MeanBelow(i, at), 0);
                if (!kept && blur == Blur.Sibling)
                {
                    var mean = sweep.MeanBelow(i, at, best);
                    kid = made[sweep.Kid(best)];
                    kid = mean > 0 ? kid with { Weight = kid.Weight * sweep.MeanBelow(i, at) / mean } : new Edge(sweep.MeanBelow(i, at), 0);
                }
                weights[v] = kept || blur != Blur.None ? sweep.Weight(at) * kid.Weight : 0;
                kids[v] = weights[v] > 0 ? kid.Node : 0;
            }
            made[i] = e.Make(sweep.Var(i), weights[..n], kids[..n]);
        }
        return (made[^1], lost);
    }

    /// <summary>The mass over each edge, lightest first.</summary>
    public static double[] Sorted(Sweep sweep)
    {
        var flow = new double[sweep.Edges(sweep.Nodes)];
        for (var at = 0; at < flow.Length; at++) flow[at] = sweep.EdgeFlow(at);
        Array.Sort(flow);
        return flow;
    }

    /// <summary>How many nodes can still be reached when that much is cut; nodes that become alike are not counted together.</summary>
    public static int Kept(Sweep sweep, double[] sorted, double allowance)
    {
        var (threshold, _) = Threshold(sorted, allowance);
        var reached = new bool[sweep.Nodes];
        reached[^1] = true;
        var kept = 0;
        for (var i = sweep.Nodes - 1; i > 0; i--)
        {
            if (!reached[i]) continue;
            kept++;
            for (var at = sweep.Edges(i); at < sweep.Edges(i + 1); at++)
                if (sweep.EdgeFlow(at) > threshold) reached[sweep.Kid(at)] = true;
        }
        return kept;
    }

    private static (double Threshold, double Lost) Threshold(double[] sorted, double allowance)
    {
        double lost = 0, threshold = 0;
        foreach (var x in sorted)
        {
            if (lost + x > allowance) break;
            (lost, threshold) = (lost + x, x);
        }
        return (threshold, lost);
    }
}
