namespace Bellwire.Reasoning.Diagram;

/// <summary>The posterior chance that some variables take certain values and a yes-or-no function holds besides: a walk over
/// only that part of the evidence which the values leave open. Made for exact joint states of all sites, which leave little open.</summary>
internal sealed class Slice(Sweep sweep, Functions functions)
{
    private readonly int _lanes = functions.Variables.Lanes;
    private readonly Dictionary<(int, int), double[]> _memo = [];
    private Dictionary<int, (bool[] Open, double[] Share)> _open = [];

    /// <param name="open">Variable id → which of its values are open. Variables not named are all open.</param>
    /// <param name="f">The function, a constant or one whose switches are all tied.</param>
    public double Chance(Dictionary<int, bool[]> open, int f)
    {
        if (f == Functions.False) return 0;
        _memo.Clear();
        _open = open.ToDictionary(x => x.Key, x => (x.Value, Share(functions.Variables[x.Key], x.Value)));
        var r = Walk(sweep.Nodes - 1, f);
        double sum = 0;
        for (var l = 0; l < _lanes; l++)
        {
            var p = sweep.RootMass[l] * r[l];
            // What is not open is taken out of the sum once for each variable, met on the way or not.
            foreach (var (_, share) in _open.Values) p *= share[l];
            sum += p;
        }
        return sum;
    }

    private double[] Share(Variable v, bool[] open)
    {
        var r = new double[_lanes];
        for (var x = 0; x < v.Arity; x++)
            for (var l = 0; open[x] && l < _lanes; l++) r[l] += v.Prior[x * _lanes + l];
        return r;
    }

    private double[] Walk(int node, int f)
    {
        if (_memo.TryGetValue((node, f), out var known)) return known;
        var r = _memo[(node, f)] = new double[_lanes];
        if (node == 0 && f < 0)
        {
            Array.Fill(r, 1);
            return r;
        }
        long kn = node == 0 ? long.MaxValue : functions.Variables[sweep.Var(node)].Key, kf = functions.Key(f);
        var v = functions.Variables[kn <= kf ? sweep.Var(node) : functions.Var(f)];
        var limited = _open.TryGetValue(v.Id, out var limit);
        for (var x = 0; x < v.Arity; x++)
        {
            if (limited && !limit.Open[x]) continue;
            var w = kn <= kf ? sweep.Weight(sweep.Edges(node) + x) : 1;
            var next = kf <= kn ? functions.Kids(f)[x] : f;
            if (w == 0 || next == Functions.False) continue;
            var part = Walk(kn <= kf ? sweep.Kid(sweep.Edges(node) + x) : node, next);
            for (var l = 0; l < _lanes; l++)
            {
                var p = v.Prior[x * _lanes + l];
                if (limited && p > 0) p /= limit.Share[l];
                r[l] += w * p * part[l];
            }
        }
        return r;
    }
}

/// <summary>Functions with every variable that has a single open value held at it.</summary>
internal sealed class Held(Functions functions, Dictionary<int, bool[]> open)
{
    private readonly Dictionary<int, int> _at = open.Where(x => x.Value.Count(v => v) == 1).ToDictionary(x => x.Key, x => Array.IndexOf(x.Value, true));
    private readonly Dictionary<int, int> _memo = [];

    public int Of(int f)
    {
        while (f >= 0 && _at.TryGetValue(functions.Var(f), out var value)) f = functions.Kids(f)[value];
        if (f < 0) return f;
        if (_memo.TryGetValue(f, out var known)) return known;
        Span<int> kids = stackalloc int[functions.Kids(f).Length];
        for (var i = 0; i < kids.Length; i++) kids[i] = Of(functions.Kids(f)[i]);
        return _memo[f] = functions.Make(functions.Var(f), kids);
    }
}
