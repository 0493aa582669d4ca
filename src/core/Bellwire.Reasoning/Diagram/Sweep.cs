namespace Bellwire.Reasoning.Diagram;

/// <summary>One upward and one downward pass over an evidence diagram: where the posterior mass flows, for each lane.
/// Nodes are spoken of by their place, 0 = the constant one, last = the root.</summary>
internal sealed class Sweep
{
    private readonly Functions _functions;
    private readonly Variables _variables;
    private readonly int _lanes;
    private readonly int[] _var, _edges, _kid;
    private readonly long[] _key;
    private readonly double[] _weight, _up, _down, _passing;
    private readonly Dictionary<int, double[]> _flow = [];

    /// <param name="lanes">Weight of each lane before this evidence; any scale.</param>
    public Sweep(Evidence evidence, Functions functions, int root, double[] lanes)
    {
        (_functions, _variables, _lanes, Root) = (functions, evidence.Variables, lanes.Length, root);
        var nodes = evidence.Reach(root, out var place);
        var n = nodes.Length;
        (_var, _key, _edges) = (new int[n], new long[n], new int[n + 1]);
        (_var[0], _key[0]) = (-1, long.MaxValue);
        for (var i = 1; i < n; i++)
        {
            var v = _variables[_var[i] = evidence.Var(nodes[i])];
            _key[i] = v.Key;
            _edges[i + 1] = _edges[i] + v.Arity;
        }
        (_kid, _weight) = (new int[_edges[n]], new double[_edges[n]]);
        for (var i = 1; i < n; i++)
            for (int at = _edges[i], from = evidence.Start(nodes[i]); at < _edges[i + 1]; at++, from++)
                (_kid[at], _weight[at]) = (place[evidence.Kid(from)], evidence.Weight(from));
        _up = new double[n * _lanes];
        Up();
        for (var l = 0; l < _lanes; l++) Total += lanes[l] * _up[(n - 1) * _lanes + l];
        RootMass = [.. lanes.Select(w => Total > 0 ? w / Total : 0)];
        Lane = [.. RootMass.Select((w, l) => w * _up[(n - 1) * _lanes + l])];
        (_down, _passing) = (new double[_up.Length], new double[_edges[n]]);
        if (Total > 0) Down();
    }

    /// <summary>The root's number in the evidence diagram.</summary>
    public int Root { get; }

    /// <summary>Σ over lanes of weight × mean likelihood (of the normalised root).</summary>
    public double Total { get; }
    public double[] RootMass { get; }

    /// <summary>Posterior of each lane.</summary>
    public double[] Lane { get; }
    public int Nodes => _var.Length;
    public int Var(int place) => _var[place];
    public int Edges(int place) => _edges[place];
    public int Kid(int edge) => _kid[edge];
    public double Weight(int edge) => _weight[edge];

    /// <summary>Mean likelihood below the node, in one lane.</summary>
    public double UpOf(int place, int lane) => _up[place * _lanes + lane];

    /// <summary>Posterior mass over an edge.</summary>
    public double EdgeFlow(int edge) => _passing[edge];

    /// <summary>Mean likelihood below an edge of a node, over the lanes as they flow through it; or below another edge, over the same lanes.</summary>
    public double MeanBelow(int place, int edge, int other = -1)
    {
        double mass = 0, below = 0;
        var prior = _variables[_var[place]].Prior;
        for (int l = 0, d = place * _lanes, p = (edge - _edges[place]) * _lanes, u = _kid[other < 0 ? edge : other] * _lanes; l < _lanes; l++)
        {
            var m = _down[d + l] * prior[p + l];
            mass += m;
            below += m * _up[u + l];
        }
        return mass > 0 ? below / mass : 0;
    }

    /// <summary>Whether the evidence hangs on the variable.</summary>
    public bool Mentions(Variable v) => _flow.ContainsKey(v.Id);

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
        if (IsPlain(f))
        {
            Of(_variables[_functions.Var(f)]).CopyTo(r, 0);
            return r;
        }
        Add(new Pairs(this, values), r, f);
        return r;
    }

    /// <summary>Posterior of each of many functions, as <see cref="Of(int,int)"/>. What they share below is walked once.</summary>
    /// <param name="all">Function and how many values it has.</param>
    public double[][] Of(IReadOnlyList<(int F, int Values)> all)
    {
        var walks = new Dictionary<int, Pairs>();
        return [.. all.Select(a =>
        {
            if (a.F < 0 || IsPlain(a.F)) return Of(a.F, a.Values);
            if (!walks.TryGetValue(a.Values, out var pairs)) walks[a.Values] = pairs = new Pairs(this, a.Values);
            var r = new double[a.Values];
            walks[a.Values] = Add(pairs, r, a.F, () => new Pairs(this, a.Values));
            return r;
        })];
    }

    /// <summary>Posterior of each of many yes-or-no functions. What they share below is walked once.</summary>
    public double[] Chances(IReadOnlyList<int> all)
    {
        var pairs = new Pairs(this, 1, 1);
        var r = new double[all.Count];
        var into = new double[1];
        for (var i = 0; i < r.Length; i++)
        {
            var f = all[i];
            into[0] = 0;
            if (f < 0) into[0] = ~f;
            else pairs = Add(pairs, into, f, () => new Pairs(this, 1, 1));
            r[i] = into[0];
        }
        return r;
    }

    /// <summary>Where there is no room beside what was kept of the functions before it, that is let go. The walk to go on with.</summary>
    private Pairs Add(Pairs pairs, double[] into, int f, Func<Pairs> anew)
    {
        try { Add(pairs, into, f); }
        catch (DiagramTooLargeException) when (!pairs.Fresh)
        {
            Array.Clear(into);
            Add(pairs = anew(), into, f);
        }
        return pairs;
    }

    private void Add(Pairs pairs, double[] into, int f)
    {
        // Above the first variable that evidence and function share, they are independent of one another.
        var key = FirstShared(f);
        if (key == long.MaxValue) pairs.Add(into, 0, f, Lane);
        else if (_key[^1] >= key) pairs.Add(into, Nodes - 1, f, RootMass);
        else
            foreach (var (kid, mass) in Crossing(key)) pairs.Add(into, kid, f, mass);
        pairs.Done();
    }

    /// <summary>The nodes at which paths arrive at or below an order label, with the mass arriving.</summary>
    private Dictionary<int, double[]> Crossing(long key)
    {
        var entry = new Dictionary<int, double[]>();
        for (var i = Nodes - 1; i > 0; i--)
        {
            if (_key[i] >= key) continue;
            for (var at = _edges[i]; at < _edges[i + 1]; at++)
            {
                if (_key[_kid[at]] < key || _weight[at] == 0) continue;
                if (!entry.TryGetValue(_kid[at], out var into)) entry[_kid[at]] = into = new double[_lanes];
                Lanes.AddProduct(into, _weight[at], _down.AsSpan(i * _lanes, _lanes), _variables[_var[i]].Prior.AsSpan((at - _edges[i]) * _lanes, _lanes));
            }
        }
        return entry;
    }

    private long FirstShared(int f)
    {
        var key = long.MaxValue;
        foreach (var v in _functions.Support(f))
            if (_flow.ContainsKey(v)) key = Math.Min(key, _variables[v].Key);
        return key;
    }

    private bool IsPlain(int f)
    {
        var kids = _functions.Kids(f);
        for (var i = 0; i < kids.Length; i++)
            if (kids[i] != ~i) return false;
        return true;
    }

    private void Up()
    {
        _up.AsSpan(0, _lanes).Fill(1);
        for (var i = 1; i < _var.Length; i++)
        {
            var into = _up.AsSpan(i * _lanes, _lanes);
            var prior = _variables[_var[i]].Prior;
            for (int at = _edges[i], p = 0; at < _edges[i + 1]; at++, p += _lanes)
            {
                var w = _weight[at];
                if (w == 0) continue;
                Lanes.AddProduct(into, w, prior.AsSpan(p, _lanes), _up.AsSpan(_kid[at] * _lanes, _lanes));
            }
        }
    }

    private void Down()
    {
        RootMass.CopyTo(_down, (Nodes - 1) * _lanes);
        for (var i = Nodes - 1; i > 0; i--)
        {
            var v = _variables[_var[i]];
            if (!_flow.TryGetValue(v.Id, out var flow)) _flow[v.Id] = flow = new double[v.Arity * _lanes];
            for (int at = _edges[i], p = 0; at < _edges[i + 1]; at++, p += _lanes)
            {
                var w = _weight[at];
                if (w == 0) continue;
                var kid = _kid[at] * _lanes;
                _passing[at] = Lanes.Pass(w, _down.AsSpan(i * _lanes, _lanes), v.Prior.AsSpan(p, _lanes), _down.AsSpan(kid, _lanes), _up.AsSpan(kid, _lanes), flow.AsSpan(p, _lanes));
            }
        }
    }

    /// <summary>Walks evidence and function together. Rows of values × lanes lie one after another in blocks that never move.</summary>
    /// <param name="from">The first value that is of interest.</param>
    private sealed class Pairs(Sweep sweep, int values, int from = 0)
    {
        private const int BlockSize = 8192;
        private long _kept;
        private readonly Dictionary<long, (double[] Block, int At)> _memo = [];
        private readonly int _lanes = sweep._lanes, _row = values * sweep._lanes;
        private double[] _block = [];
        private int _used;

        /// <summary>True until a function was walked to its end.</summary>
        public bool Fresh { get; private set; } = true;

        /// <exception cref="DiagramTooLargeException">More would have to be kept than there is room for.</exception>
        public void Add(double[] into, int node, int f, double[] mass)
        {
            var (block, at) = Walk(node, f);
            for (var t = 0; t < values; t++)
                for (var l = 0; l < _lanes; l++) into[t] += mass[l] * block[at + t * _lanes + l];
        }

        public void Done() => Fresh = false;

        private (double[] Block, int At) Walk(int node, int f)
        {
            if (_memo.TryGetValue((long)node << 32 | (uint)f, out var known)) return known;
            var (block, at) = _memo[(long)node << 32 | (uint)f] = New();
            long kn = sweep._key[node], kf = sweep._functions.Key(f);
            var v = sweep._variables[kn <= kf ? sweep._var[node] : sweep._functions.Var(f)];
            for (var x = 0; x < v.Arity; x++)
            {
                var w = kn <= kf ? sweep._weight[sweep._edges[node] + x] : 1;
                if (w == 0) continue;
                var nextNode = kn <= kf ? sweep._kid[sweep._edges[node] + x] : node;
                var next = kf <= kn ? sweep._functions.Kids(f)[x] : f;
                var prior = v.Prior.AsSpan(x * _lanes, _lanes);
                if (next < 0)
                {
                    if (~next >= from) Lanes.AddProduct(block.AsSpan(at + (~next - from) * _lanes, _lanes), w, prior, sweep._up.AsSpan(nextNode * _lanes, _lanes));
                    continue;
                }
                var (part, start) = Walk(nextNode, next);
                for (var t = 0; t < _row; t += _lanes) Lanes.AddProduct(block.AsSpan(at + t, _lanes), w, prior, part.AsSpan(start + t, _lanes));
            }
            return (block, at);
        }

        private (double[] Block, int At) New()
        {
            // Beside its numbers an entry takes some forty bytes to be found again.
            if ((_kept += _row + 5) > sweep._functions.WalkNumbers) throw new DiagramTooLargeException();
            if (_used + _row > _block.Length) (_block, _used) = (new double[Math.Max(BlockSize, _row)], 0);
            return (_block, (_used += _row) - _row);
        }
    }
}
