namespace Bellwire.Reasoning.Diagram;

/// <summary>A weighted reference into the evidence diagram: weight × the function at the node.</summary>
internal readonly record struct Edge(double Weight, int Node)
{
    public static Edge Zero => new(0, 0);
    public static Edge One => new(1, 0);
}

/// <summary>The evidence diagram: likelihoods as products of edge weights along a path. Nodes are hash-consed, the largest
/// weight out of a node is one, weights are interned to 44 bits (relative rounding 6e-14). Node 0 is the constant one.</summary>
internal sealed class Evidence
{
    private readonly Variables _variables;
    private readonly Functions _functions;
    private int[] _var = new int[4096];
    private int[] _start = new int[4096];
    private int[] _kids = new int[16384];
    private double[] _weights = new double[16384];
    private int _count, _used;
    private int[] _scratch = [];
    private int _stamp;
    private int[] _slots = NewSlots(16384);
    private readonly Dictionary<(int, int), Edge> _product = [];
    private readonly Dictionary<(int, int, long), Edge> _sum = [];

    public Evidence(Functions functions)
    {
        (_functions, _variables) = (functions, functions.Variables);
        _var[0] = -1;
        _count = 1;
    }

    /// <summary>Nodes beyond which one operation gives up; guards against explosion.</summary>
    public int Ceiling { get; set; } = int.MaxValue;

    /// <summary>Copies what is reachable from some roots into a fresh store. Returns it and where each root went.</summary>
    public (Evidence Store, Dictionary<int, int> Moved) Copy(IEnumerable<int> roots)
    {
        var to = new Evidence(_functions);
        var moved = new Dictionary<int, int> { [0] = 0 };
        foreach (var root in roots)
        {
            if (moved.ContainsKey(root)) continue;
            foreach (var n in Reach(root, out _))
            {
                if (moved.ContainsKey(n)) continue;
                var arity = _variables[_var[n]].Arity;
                var weights = _weights.AsSpan(_start[n], arity).ToArray();
                var kids = new int[arity];
                for (var i = 0; i < arity; i++) kids[i] = moved[_kids[_start[n] + i]];
                moved[n] = to.Make(_var[n], weights, kids).Node;
            }
        }
        return (to, moved);
    }

    /// <summary>Nodes reachable from the root in ascending number (kids are made before their parents, so this runs from the
    /// leaf, node 0, to the root), with each node's place in that list written to a shared scratch table.</summary>
    public int[] Reach(int root, out int[] place)
    {
        if (_scratch.Length < _count) _scratch = new int[_var.Length];
        place = _scratch;
        var stamp = --_stamp;
        var found = new List<int> { 0 };
        place[0] = stamp;
        if (root != 0)
        {
            found.Add(root);
            place[root] = stamp;
        }
        for (var i = 1; i < found.Count; i++)
        {
            var n = found[i];
            var end = _start[n] + _variables[_var[n]].Arity;
            for (var at = _start[n]; at < end; at++)
            {
                if (place[_kids[at]] == stamp) continue;
                place[_kids[at]] = stamp;
                found.Add(_kids[at]);
            }
        }
        int[] all = [.. found];
        Array.Sort(all);
        for (var i = 0; i < all.Length; i++) place[all[i]] = i;
        return all;
    }

    public int Count => _count;

    /// <summary>Takes back every node made since there were <paramref name="count"/>: what an operation that gave up leaves behind, and nothing else may refer to.</summary>
    public void TakeBack(int count)
    {
        if (count >= _count) return;
        _used = _start[count];
        _count = count;
        _product.Clear();
        _sum.Clear();
        _slots = NewSlots(_slots.Length);
        Fill();
    }

    public Variables Variables => _variables;
    public int Var(int n) => _var[n];
    public long Key(int n) => n == 0 ? long.MaxValue : _variables[_var[n]].Key;
    public int Start(int n) => _start[n];
    public int Kid(int at) => _kids[at];
    public double Weight(int at) => _weights[at];

    /// <summary>e × table[f(x)], with the trial variables that f mentions summed out within this one factor.</summary>
    public Edge Multiply(Edge e, int f, double[] table)
    {
        if (e.Weight == 0) return Edge.Zero;
        _product.Clear();
        _sum.Clear();
        var r = Product(e.Node, f, table);
        return r.Weight == 0 ? Edge.Zero : new Edge(e.Weight * r.Weight, r.Node);
    }

    /// <summary>Product of two likelihoods.</summary>
    public Edge Multiply(Edge a, Edge b)
    {
        if (a.Weight == 0 || b.Weight == 0) return Edge.Zero;
        _product.Clear();
        var r = Product(a.Node, b.Node);
        return r.Weight == 0 ? Edge.Zero : new Edge(a.Weight * b.Weight * r.Weight, r.Node);
    }

    /// <summary>The node with these weighted kids, normalised; the scale taken out is the weight of the result.</summary>
    public Edge Make(int var, Span<double> weights, Span<int> kids)
    {
        double max = 0;
        foreach (var w in weights) max = Math.Max(max, w);
        if (max == 0) return Edge.Zero;
        var same = true;
        for (var i = 0; i < kids.Length; i++)
        {
            weights[i] = Round(weights[i] / max);
            if (weights[i] == 0) kids[i] = 0;
            same &= kids[i] == kids[0] && weights[i] == weights[0];
        }
        if (same) return new Edge(max, kids[0]);
        var mask = _slots.Length - 1;
        for (var at = Hash(var, weights, kids) & mask; ; at = (at + 1) & mask)
        {
            var n = _slots[at];
            if (n < 0)
            {
                if (_count >= Ceiling) throw new DiagramTooLargeException();
                _slots[at] = Append(var, weights, kids);
                if (_count * 2 > _slots.Length) Rehash();
                return new Edge(max, _count - 1);
            }
            if (_var[n] == var && _kids.AsSpan(_start[n], kids.Length).SequenceEqual(kids)
                && _weights.AsSpan(_start[n], kids.Length).SequenceEqual(weights)) return new Edge(max, n);
        }
    }

    private Edge Product(int n, int f, double[] table)
    {
        if (f < 0) return table[~f] == 0 ? Edge.Zero : new Edge(table[~f], n);
        if (_product.TryGetValue((n, f), out var known)) return known;
        long kn = Key(n), kf = _functions.Key(f);
        Edge r;
        if (kf <= kn && _variables[_functions.Var(f)] is { Trial: true } t)
        {
            r = Edge.Zero;
            for (var i = 0; i < t.Arity; i++)
            {
                var part = Product(n, _functions.Kids(f)[i], table);
                r = Sum(r, new Edge(part.Weight * t.Prior[i * _variables.Lanes], part.Node));
            }
            return _product[(n, f)] = r;
        }
        var v = _variables[kn <= kf ? _var[n] : _functions.Var(f)];
        Span<double> weights = stackalloc double[v.Arity];
        Span<int> kids = stackalloc int[v.Arity];
        for (var i = 0; i < v.Arity; i++)
        {
            var w = kn <= kf ? _weights[_start[n] + i] : 1;
            if (w == 0) continue;
            var part = Product(kn <= kf ? _kids[_start[n] + i] : n, kf <= kn ? _functions.Kids(f)[i] : f, table);
            weights[i] = w * part.Weight;
            kids[i] = part.Node;
        }
        r = Make(v.Id, weights, kids);
        return _product[(n, f)] = r;
    }

    private Edge Product(int a, int b)
    {
        if (a == 0) return new Edge(1, b);
        if (b == 0) return new Edge(1, a);
        if (a > b) (a, b) = (b, a);
        if (_product.TryGetValue((a, b), out var known)) return known;
        long ka = Key(a), kb = Key(b);
        var v = _variables[ka <= kb ? _var[a] : _var[b]];
        Span<double> weights = stackalloc double[v.Arity];
        Span<int> kids = stackalloc int[v.Arity];
        for (var i = 0; i < v.Arity; i++)
        {
            var w = (ka <= kb ? _weights[_start[a] + i] : 1) * (kb <= ka ? _weights[_start[b] + i] : 1);
            if (w == 0) continue;
            var part = Product(ka <= kb ? _kids[_start[a] + i] : a, kb <= ka ? _kids[_start[b] + i] : b);
            weights[i] = w * part.Weight;
            kids[i] = part.Node;
        }
        return _product[(a, b)] = Make(v.Id, weights, kids);
    }

    private Edge Sum(Edge a, Edge b)
    {
        if (a.Weight == 0) return b;
        if (b.Weight == 0) return a;
        if (a.Node == b.Node) return new Edge(a.Weight + b.Weight, a.Node);
        if (a.Node > b.Node) (a, b) = (b, a);
        var ratio = Round(b.Weight / a.Weight);
        var key = (a.Node, b.Node, BitConverter.DoubleToInt64Bits(ratio));
        if (!_sum.TryGetValue(key, out var r))
        {
            long ka = Key(a.Node), kb = Key(b.Node);
            var v = _variables[ka <= kb ? _var[a.Node] : _var[b.Node]];
            Span<double> weights = stackalloc double[v.Arity];
            Span<int> kids = stackalloc int[v.Arity];
            for (var i = 0; i < v.Arity; i++)
            {
                var x = ka <= kb ? new Edge(_weights[_start[a.Node] + i], _kids[_start[a.Node] + i]) : a with { Weight = 1 };
                var y = kb <= ka ? new Edge(ratio * _weights[_start[b.Node] + i], _kids[_start[b.Node] + i]) : b with { Weight = ratio };
                var part = Sum(x, y);
                weights[i] = part.Weight;
                kids[i] = part.Node;
            }
            _sum[key] = r = Make(v.Id, weights, kids);
        }
        return r with { Weight = r.Weight * a.Weight };
    }

    private int Append(int var, ReadOnlySpan<double> weights, ReadOnlySpan<int> kids)
    {
        if (_count == _var.Length)
        {
            Array.Resize(ref _var, _count * 2);
            Array.Resize(ref _start, _count * 2);
        }
        while (_used + kids.Length > _kids.Length)
        {
            Array.Resize(ref _kids, _kids.Length * 2);
            Array.Resize(ref _weights, _weights.Length * 2);
        }
        _var[_count] = var;
        _start[_count] = _used;
        kids.CopyTo(_kids.AsSpan(_used));
        weights.CopyTo(_weights.AsSpan(_used));
        _used += kids.Length;
        return _count++;
    }

    private void Rehash()
    {
        _slots = NewSlots(_slots.Length * 2);
        Fill();
    }

    private void Fill()
    {
        var mask = _slots.Length - 1;
        for (var n = 1; n < _count; n++)
        {
            var arity = _variables[_var[n]].Arity;
            var at = Hash(_var[n], _weights.AsSpan(_start[n], arity), _kids.AsSpan(_start[n], arity)) & mask;
            while (_slots[at] >= 0) at = (at + 1) & mask;
            _slots[at] = n;
        }
    }

    /// <summary>Rounds to 44 bits of mantissa, so that sums reached by different roads meet.</summary>
    internal static double Round(double x) =>
        x == 0 ? 0 : BitConverter.Int64BitsToDouble((BitConverter.DoubleToInt64Bits(x) + 128) & ~255L);

    private static int Hash(int var, ReadOnlySpan<double> weights, ReadOnlySpan<int> kids)
    {
        var h = (ulong)var * 0x9E3779B97F4A7C15;
        for (var i = 0; i < kids.Length; i++)
        {
            h = (h ^ (uint)kids[i]) * 0xBF58476D1CE4E5B9;
            h = (h ^ (ulong)BitConverter.DoubleToInt64Bits(weights[i]) ^ (h >> 29)) * 0x94D049BB133111EB;
        }
        return (int)((h ^ (h >> 32)) & 0x7FFFFFFF);
    }

    private static int[] NewSlots(int n)
    {
        var s = new int[n];
        Array.Fill(s, -1);
        return s;
    }
}

/// <summary>One operation made more nodes than allowed; the caller prunes and tries again, or answers by lot.</summary>
internal sealed class DiagramTooLargeException : Exception;
