namespace Bellwire.Circuits.Solving;

/// <summary>
/// Kirchhoff's current law at every unknown, with each linear branch already replaced by i = G·u + J for the instant
/// asked about (its companion), and Newton's method on what is left. One instance is one workspace, not shared.
/// </summary>
internal sealed class Equations
{
    private readonly SparseLu _lu;
    private readonly bool[] _isRow;
    private readonly double[] _base, _baseRight, _next, _before, _held, _memory;
    private readonly double[] _v = new double[8], _i = new double[8], _g = new double[64];

    public Equations(Assembly assembly)
    {
        Assembly = assembly;
        var n = assembly.Count;
        _lu = new(n);
        (_held, _base, _baseRight, _next, _before) = (new double[n + 1], new double[(n + 1) * (n + 1)], new double[n + 1], new double[n + 1], new double[n + 1]);
        (X, G, J) = (new double[n + 1], new double[assembly.Branches.Length], new double[assembly.Branches.Length]);
        _memory = new double[assembly.Memory];
        _isRow = new bool[n + 1];
        foreach (var b in assembly.Branches)
        {
            if (b.Row >= 0)
            {
                _isRow[b.Row] = true;
                foreach (var node in b.Nodes)
                {
                    _lu.Mark(node, b.Row);
                    _lu.Mark(b.Row, node);
                }
            }
            else if (b.Kind != BranchKind.Injected) Mark(b.Nodes);
        }
        foreach (var e in assembly.Nonlinears) Mark(e.Nodes);
        for (var k = 0; k < n; k++) if (!_isRow[k]) _lu.Mark(k, k);
    }

    public Assembly Assembly { get; }

    /// <summary>The unknowns; the last slot is ground.</summary>
    public double[] X { get; }

    /// <summary>Conductance of each branch for the instant asked about.</summary>
    public double[] G { get; }

    /// <summary>Current of each branch at u = 0; of an ideal source its volts.</summary>
    public double[] J { get; }

    /// <summary>The unknown whose last step was largest against its tolerance, or where no pivot was left.</summary>
    public int Worst { get; private set; } = -1;

    /// <summary>Stamps the conductances; call whenever <see cref="G"/> changed.</summary>
    /// <param name="gmin">Conductance from every unknown to ground, S.</param>
    public void StampMatrix(double gmin)
    {
        var (a, w) = (_base, _lu.Stride);
        Array.Clear(a);
        var branches = Assembly.Branches;
        for (var k = 0; k < branches.Length; k++)
        {
            var b = branches[k];
            var nodes = b.Nodes;
            if (b.Kind == BranchKind.Ideal)
            {
                (a[nodes[0] * w + b.Row], a[nodes[1] * w + b.Row]) = (a[nodes[0] * w + b.Row] + 1, a[nodes[1] * w + b.Row] - 1);
                (a[b.Row * w + nodes[0]], a[b.Row * w + nodes[1]]) = (a[b.Row * w + nodes[0]] + 1, a[b.Row * w + nodes[1]] - 1);
                continue;
            }
            var g = G[k];
            if (g == 0) continue;
            var signs = b.Signs;
            for (var r = 0; r < nodes.Length; r++)
                for (var c = 0; c < nodes.Length; c++)
                    a[nodes[r] * w + nodes[c]] += signs[r] * signs[c] * g;
        }
        if (gmin > 0) for (var k = 0; k < Assembly.Count; k++) if (!IsRow(k)) a[k * w + k] += gmin;
    }

    /// <summary>Stamps the sources; call whenever <see cref="J"/> changed.</summary>
    public void StampRight()
    {
        var b = _baseRight;
        Array.Clear(b);
        var branches = Assembly.Branches;
        for (var k = 0; k < branches.Length; k++)
        {
            var e = branches[k];
            var j = J[k];
            if (e.Kind == BranchKind.Ideal) b[e.Row] += j;
            else if (j != 0) for (var r = 0; r < e.Nodes.Length; r++) b[e.Nodes[r]] -= e.Signs[r] * j;
        }
    }

    /// <summary>Newton's method from <see cref="X"/>; the answer is left there.</summary>
    /// <returns>Iterations needed, or −1 when it did not settle or the matrix was singular.</returns>
    public int Newton(int most, double relative, double absolute)
    {
        var n = Assembly.Count;
        var linear = Assembly.Nonlinears.Length == 0;
        var share = 1.0;
        for (var pass = 1; pass <= most; pass++)
        {
            _base.CopyTo(_lu.Matrix.AsSpan());
            _baseRight.CopyTo(_next.AsSpan());
            var limited = StampNonlinear();
            var stuck = _lu.Factor();
            if (stuck == -2)
            {
                // Other parts conduct now than when the order was chosen.
                _base.CopyTo(_lu.Matrix.AsSpan());
                _baseRight.CopyTo(_next.AsSpan());
                limited |= StampNonlinear();
                stuck = _lu.Order();
            }
            if (stuck >= 0)
            {
                Worst = stuck;
                return -1;
            }
            _lu.Solve(_next);
            var (worst, at) = (0.0, -1);
            for (var k = 0; k < n; k++)
            {
                var full = _next[k] - X[k];
                var step = Math.Abs(full) / (absolute + relative * Math.Abs(_next[k]));
                if (!(step <= worst)) (worst, at) = (step, k);
            }
            // Newton's method can hop for ever between the two sides of a corner: each time the step turns back the share of
            // it that is taken is halved.
            var turn = 0.0;
            for (var k = 0; k < n; k++)
            {
                var full = _next[k] - X[k];
                turn += full * _before[k];
                _before[k] = full;
            }
            share = pass > 6 && turn < 0 ? Math.Max(share / 2, 1.0 / 256) : Math.Min(1, share * 1.5);
            for (var k = 0; k < n; k++) X[k] = share == 1 ? _next[k] : X[k] + share * (_next[k] - X[k]);
            Worst = at;
            if (!double.IsFinite(worst)) return -1;
            // A node that hangs on a gigohm jitters by rounding: what has not settled by now will not settle closer.
            var slack = pass <= 15 ? 1 : pass <= 30 ? 10 : 100;
            if (linear || (worst <= slack && !limited)) return pass;
        }
        return -1;
    }

    /// <summary>
    /// Newton's method; where it does not settle, once more with every unknown held to where it stood by a conductance that
    /// is then taken away in steps (pseudo-transient continuation, Kelley &amp; Keyes 1998).
    /// </summary>
    public int NewtonHeld(double relative, double absolute)
    {
        X.CopyTo(_held, 0);
        var n = Newton(40, relative, absolute);
        if (n >= 0) return n;
        var total = 40;
        _held.CopyTo(X, 0);
        for (var (hold, factor) = (10.0, 4.0); ;)
        {
            StampMatrix(hold);
            StampRight();
            for (var k = 0; k < Assembly.Count; k++) if (!IsRow(k)) _baseRight[k] += hold * _held[k];
            n = Newton(40, relative, absolute);
            total += n < 0 ? 40 : n;
            if (n < 0)
            {
                if (factor < 1.2 || total > 2000) break;
                _held.CopyTo(X, 0);
                hold *= factor;
                hold /= factor = Math.Sqrt(factor);
                continue;
            }
            X.CopyTo(_held, 0);
            if (hold == 0) break;
            hold = hold < 1e-7 ? 0 : hold / factor;
        }
        StampMatrix(0);
        return n < 0 ? -1 : total;
    }

    /// <summary>Starts the next Newton iteration from here, junctions included.</summary>
    public void Expect(double[] unknowns)
    {
        unknowns.CopyTo(X, 0);
        _expected = true;
    }

    /// <summary>Forgets where the junctions stood.</summary>
    public void Forget() => Array.Clear(_memory);

    /// <summary>Solves with the factors of the last Newton iteration: the response to small currents into the unknowns.</summary>
    public void Respond(Span<double> currents) => _lu.Solve(currents);

    /// <summary>The current of branch k at the present <see cref="X"/>.</summary>
    public double Current(int k)
    {
        var b = Assembly.Branches[k];
        return b.Kind == BranchKind.Ideal ? X[b.Row] : G[k] * b.Across(X) + J[k];
    }

    /// <summary>The largest current by which Kirchhoff's law is missed at the present <see cref="X"/>, A, and where.</summary>
    public (double Amperes, int At) Residual()
    {
        Span<double> sum = new double[Assembly.Count + 1];
        for (var k = 0; k < Assembly.Branches.Length; k++)
        {
            var (b, i) = (Assembly.Branches[k], Current(k));
            for (var r = 0; r < b.Nodes.Length; r++) sum[b.Nodes[r]] += b.Signs[r] * i;
            if (b.Kind == BranchKind.Ideal) sum[b.Row] = b.Across(X) - J[k];
        }
        Span<double> v = stackalloc double[8], pin = stackalloc double[8], g = stackalloc double[64], memory = stackalloc double[4];
        foreach (var e in Assembly.Nonlinears)
        {
            var count = e.Nodes.Length;
            for (var r = 0; r < count; r++) v[r] = X[e.Nodes[r]];
            e.Evaluate(v[..count], pin[..count], g[..(count * count)], memory[..e.Memory], limit: false);
            for (var r = 0; r < count; r++) sum[e.Nodes[r]] += pin[r];
        }
        var (worst, at) = (0.0, -1);
        for (var k = 0; k < Assembly.Count; k++) if (!(Math.Abs(sum[k]) <= worst)) (worst, at) = (Math.Abs(sum[k]), k);
        return (worst, at);
    }

    private bool _expected;

    private bool StampNonlinear()
    {
        var limit = !_expected;
        _expected = false;
        var (a, b, w) = (_lu.Matrix, _next, _lu.Stride);
        var limited = false;
        var memory = 0;
        foreach (var e in Assembly.Nonlinears)
        {
            var nodes = e.Nodes;
            var count = nodes.Length;
            for (var r = 0; r < count; r++) _v[r] = X[nodes[r]];
            limited |= e.Evaluate(_v.AsSpan(0, count), _i.AsSpan(0, count), _g.AsSpan(0, count * count), _memory.AsSpan(memory, e.Memory), limit);
            memory += e.Memory;
            for (var r = 0; r < count; r++)
            {
                var constant = _i[r];
                var row = nodes[r] * w;
                for (var c = 0; c < count; c++)
                {
                    var g = _g[r * count + c];
                    a[row + nodes[c]] += g;
                    constant -= g * _v[c];
                }
                b[nodes[r]] -= constant;
            }
        }
        return limited;
    }

    private bool IsRow(int k) => _isRow[k];

    private void Mark(int[] nodes)
    {
        foreach (var r in nodes) foreach (var c in nodes) _lu.Mark(r, c);
    }
}
