using Bellwire.Reasoning.Diagram;

namespace Bellwire.Reasoning.Engine;

/// <summary>Cuts edges that carry little posterior mass.</summary>
internal static class Pruner
{
    /// <summary>Cuts the weakest edges whose mass adds up to at most <paramref name="allowance"/> of the posterior.</summary>
    /// <returns>The smaller diagram and the share of the posterior that went with it (an upper bound).</returns>
    public static (Edge Root, double Lost) Prune(Evidence e, Sweep sweep, double allowance)
    {
        var flows = new List<double>();
        var nodes = sweep.All;
        var flow = new double[nodes.Length][];
        for (var i = 1; i < nodes.Length; i++)
        {
            var arity = e.Variables[e.Var(nodes[i])].Arity;
            flow[i] = new double[arity];
            for (var v = 0; v < arity; v++)
            {
                if (e.Weight(e.Start(nodes[i]) + v) == 0) continue;
                flow[i][v] = sweep.EdgeFlow(nodes[i], v);
                flows.Add(flow[i][v]);
            }
        }
        flows.Sort();
        double lost = 0, threshold = 0;
        foreach (var x in flows)
        {
            if (lost + x > allowance) break;
            (lost, threshold) = (lost + x, x);
        }
        var made = new Dictionary<int, Edge> { [0] = Edge.One };
        for (var i = 1; i < nodes.Length; i++)
        {
            var start = e.Start(nodes[i]);
            Span<double> weights = new double[flow[i].Length];
            Span<int> kids = new int[flow[i].Length];
            for (var v = 0; v < weights.Length; v++)
            {
                if (flow[i][v] <= threshold) continue;
                var kid = made[e.Kid(start + v)];
                weights[v] = e.Weight(start + v) * kid.Weight;
                kids[v] = kid.Node;
            }
            made[nodes[i]] = e.Make(e.Var(nodes[i]), weights, kids);
        }
        return (made[sweep.Root], lost);
    }
}
