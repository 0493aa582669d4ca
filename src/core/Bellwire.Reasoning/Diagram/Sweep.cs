namespace Bellwire.Reasoning.Diagram;

/// <summary>One upward and one downward pass over an evidence diagram: where the posterior mass flows, for each lane.</summary>
internal sealed class Sweep
{
    private readonly Evidence _evidence;
    private readonly Functions _functions;
    private readonly int _lanes;
    private readonly int[] _nodes;
    private readonly Dictionary<int, int> _place;
    private readonly double[] _up;
    private readonly double[][] _mass;
    private readonly Dictionary<int, double[]> _flow = [];

    /// <param name="lanes">Weight of each lane before this evidence; any scale.</param>
    public Sweep(Evidence evidence, Functions functions, int root, double[] lanes)
    {
        (_evidence, _functions, _lanes, Root) = (evidence, functions, lanes.Length, root);
        _nodes = Reach(root);
        _place = new Dictionary<int, int>(_nodes.Length);
        for (var i = 0; i < _nodes.Length; i++) _place[_nodes[i]] = i;
        _up = new double[_nodes.Length * _lanes];
        _mass = new double[_nodes.Length][];
        Up();
        Total = 0;
        for (var l = 0; l < _lanes; l++) Total += lanes[l] * _up[^(_lanes - l)];
        RootMass = [.. lanes.Select(w => Total > 0 ? w / Total : 0)];
        Lane = [.. RootMass.Select((w, l) => w * _up[^(_lanes - l)])];
        if (Total > 0) Down();
    }

    public int Root { get; }

    /// <summary>Σ over lanes of weight × mean likelihood (of the normalised root).</summary>
    public double Total { get; }
    public double[] RootMass { get; }

    /// <summary>Posterior of each lane.</summary>
    public double[] Lane { get; }
    public int Nodes => _nodes.Length;
    public ReadOnlySpan<int> All => _nodes;
    public bool Mentions(int var) => _flow.ContainsKey(var);
    public ReadOnlySpan<double> Up(int node) => _up.AsSpan(_place[node] * _lanes, _lanes);

    /// <summary>Posterior mass over the edge: node, value.</summary>
    public double EdgeFlow(int node, int value)
    {
        var i = _place[node];
        var kid = _place[_evidence.Kid(_evidence.Start(node) + value)];
        double s = 0;
        for (var l = 0; l < _lanes; l++) s += _mass[i][value * _lanes + l] * _up[kid * _lanes + l];
        return s;
    }

    /// <summary>Posterior of the values of one variable.</summary>
    public double[] Of(Variable v)
    {
        var r = new double[v.Arity];
        _flow.TryGetValue(v.Id, out var flow);
        for (var l = 0; l < _lanes; l++)
        {
            var rest = Lane[l];
            if (flow is not null)
                for (var i = 0; i < v.Arity; i++) rest -= flow[i * _lanes + l];
            if (rest < 0) rest = 0;
            for (var i = 0; i < v.Arity; i++) r[i] += (flow?[i * _lanes + l] ?? 0) + rest * v.Prior[i * _lanes + l];
        }
        return r;
    }

    /// <summary>Posterior of the values 0..values−1 of a function.</summary>
    public double[] Of(int f, int values)
    {
        var r = new double[values];
        if (f < 0)
        {
            r[~f] = 1;
            return r;
        }
        if (IsPlain(f)) return Spread(Of(_functions.Variables[_functions.Var(f)]), values);
        var pairs = new Pairs(this, values);
        var key = _functions.Key(f);
        if (_evidence.Key(Root) >= key) pairs.Add(r, Root, f, RootMass);
        else
        {
            var entry = new Dictionary<int, double[]>();
            for (var i = _nodes.Length - 1; i > 0; i--)
            {
                var n = _nodes[i];
                if (_evidence.Key(n) >= key) continue;
                var start = _evidence.Start(n);
                var arity = _evidence.Variables[_evidence.Var(n)].Arity;
                for (var v = 0; v < arity; v++)
                {
                    var kid = _evidence.Kid(start + v);
                    if (_evidence.Weight(start + v) == 0 || _evidence.Key(kid) < key) continue;
                    if (!entry.TryGetValue(kid, out var into)) entry[kid] = into = new double[_lanes];
                    for (var l = 0; l < _lanes; l++) into[l] += _mass[i][v * _lanes + l];
                }
            }
            foreach (var (kid, mass) in entry) pairs.Add(r, kid, f, mass);
        }
        return r;
    }

    private bool IsPlain(int f)
    {
        var kids = _functions.Kids(f);
        for (var i = 0; i < kids.Length; i++)
            if (kids[i] != ~i) return false;
        return true;
    }

    private static double[] Spread(double[] p, int values)
    {
        if (p.Length == values) return p;
        var r = new double[values];
        p.CopyTo(r, 0);
        return r;
    }

    private int[] Reach(int root)
    {
        var seen = new HashSet<int> { 0 };
        var stack = new Stack<int>();
        if (seen.Add(root)) stack.Push(root);
        while (stack.TryPop(out var n))
        {
            var start = _evidence.Start(n);
            var arity = _evidence.Variables[_evidence.Var(n)].Arity;
            for (var v = 0; v < arity; v++)
                if (seen.Add(_evidence.Kid(start + v))) stack.Push(_evidence.Kid(start + v));
        }
        // Kids are made before their parents, so ascending numbers run from the leaves to the root.
        int[] all = [.. seen];
        Array.Sort(all);
        return all;
    }

    private void Up()
    {
        _up.AsSpan(0, _lanes).Fill(1);
        for (var i = 1; i < _nodes.Length; i++)
        {
            var n = _nodes[i];
            var start = _evidence.Start(n);
            var v = _evidence.Variables[_evidence.Var(n)];
            var into = _up.AsSpan(i * _lanes, _lanes);
            for (var x = 0; x < v.Arity; x++)
            {
                var w = _evidence.Weight(start + x);
                if (w == 0) continue;
                var kid = _up.AsSpan(_place[_evidence.Kid(start + x)] * _lanes, _lanes);
                var prior = v.Prior.AsSpan(x * _lanes, _lanes);
                for (var l = 0; l < into.Length; l++) into[l] += w * prior[l] * kid[l];
            }
        }
    }

    private void Down()
    {
        var down = new double[_nodes.Length * _lanes];
        RootMass.CopyTo(down, (_nodes.Length - 1) * _lanes);
        for (var i = _nodes.Length - 1; i > 0; i--)
        {
            var n = _nodes[i];
            var start = _evidence.Start(n);
            var v = _evidence.Variables[_evidence.Var(n)];
            var mass = _mass[i] = new double[v.Arity * _lanes];
            if (!_flow.TryGetValue(v.Id, out var flow)) _flow[v.Id] = flow = new double[v.Arity * _lanes];
            for (var x = 0; x < v.Arity; x++)
            {
                var w = _evidence.Weight(start + x);
                if (w == 0) continue;
                var kid = _place[_evidence.Kid(start + x)] * _lanes;
                for (var l = 0; l < _lanes; l++)
                {
                    var m = down[i * _lanes + l] * w * v.Prior[x * _lanes + l];
                    mass[x * _lanes + l] = m;
                    down[kid + l] += m;
                    flow[x * _lanes + l] += m * _up[kid + l];
                }
            }
        }
    }

    /// <summary>Walks evidence and function together, below the function's first variable.</summary>
    private sealed class Pairs(Sweep sweep, int values)
    {
        private readonly Dictionary<(int, int), double[]> _memo = [];
        private readonly int _lanes = sweep._lanes;

        public void Add(double[] into, int node, int f, double[] mass)
        {
            var r = Walk(node, f);
            for (var t = 0; t < values; t++)
                for (var l = 0; l < _lanes; l++) into[t] += mass[l] * r[t * _lanes + l];
        }

        private double[] Walk(int node, int f)
        {
            if (_memo.TryGetValue((node, f), out var known)) return known;
            var r = _memo[(node, f)] = new double[values * _lanes];
            if (f < 0)
            {
                sweep.Up(node).CopyTo(r.AsSpan(~f * _lanes));
                return r;
            }
            var evidence = sweep._evidence;
            long kn = evidence.Key(node), kf = sweep._functions.Key(f);
            var v = evidence.Variables[kn <= kf ? evidence.Var(node) : sweep._functions.Var(f)];
            for (var x = 0; x < v.Arity; x++)
            {
                var w = kn <= kf ? evidence.Weight(evidence.Start(node) + x) : 1;
                if (w == 0) continue;
                var part = Walk(kn <= kf ? evidence.Kid(evidence.Start(node) + x) : node, kf <= kn ? sweep._functions.Kids(f)[x] : f);
                for (var t = 0; t < values; t++)
                    for (var l = 0; l < _lanes; l++) r[t * _lanes + l] += w * v.Prior[x * _lanes + l] * part[t * _lanes + l];
            }
            return r;
        }
    }
}
