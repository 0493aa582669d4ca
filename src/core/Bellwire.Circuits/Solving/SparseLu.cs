namespace Bellwire.Circuits.Solving;

/// <summary>
/// LU that learns from the first matrix which entries are ever anything and in which order to eliminate (Markowitz 1957, with a
/// threshold on the pivot), and from then on runs down a list of operations. Storage stays dense, one row and column wider
/// than the unknowns, so that stamps on ground need no test.
/// </summary>
internal sealed class SparseLu(int n)
{
    private const double Threshold = 0.05, Growth = 1e5;
    private readonly bool[] _pattern = new bool[(n + 1) * (n + 1)];
    private readonly int[] _row = new int[n], _column = new int[n];
    private readonly double[] _inverse = new double[n];
    private readonly double[] _work = new double[n];
    private int[] _eliminate = [], _forward = [], _backward = [];
    private bool _ordered;

    public int Stride { get; } = n + 1;

    /// <summary>The matrix, overwritten by <see cref="Factor"/>.</summary>
    public double[] Matrix { get; } = new double[(n + 1) * (n + 1)];

    /// <summary>Says that an entry can be other than zero.</summary>
    public void Mark(int row, int column) => _pattern[row * Stride + column] = true;

    /// <summary>Factors in the learned order.</summary>
    /// <returns>−1 when the factors stand; −2 when the order has become unfit: fill the matrix again, call <see cref="Order"/>, again; else the column without a pivot.</returns>
    public int Factor()
    {
        if (!_ordered) return -2;
        var a = Matrix;
        var ops = _eliminate;
        var at = 0;
        for (var k = 0; k < _inverse.Length; k++)
        {
            var pivot = a[ops[at]];
            var columns = ops[at + 1];
            var rows = ops[at + 2];
            at += 3;
            if (!(Math.Abs(pivot) > 1e-30)) return -2;
            var inverse = _inverse[k] = 1 / pivot;
            var top = at;
            at += columns;
            for (var r = 0; r < rows; r++)
            {
                ref var lead = ref a[ops[at++]];
                if (lead == 0)
                {
                    at += columns;
                    continue;
                }
                var f = lead *= inverse;
                if (!(Math.Abs(f) < Growth)) return -2;
                for (var c = 0; c < columns; c++) a[ops[at + c]] -= f * a[ops[top + c]];
                at += columns;
            }
        }
        return -1;
    }

    /// <summary>Chooses the order from the values now in the matrix and factors it.</summary>
    /// <returns>−1, or the column without a pivot.</returns>
    public int Order()
    {
        var (a, w) = (Matrix, Stride);
        var there = (bool[])_pattern.Clone();
        List<int> rows = [.. Enumerable.Range(0, n)], columns = [.. Enumerable.Range(0, n)];
        List<int> eliminate = [], forward = [], backward = [];
        for (var k = 0; k < n; k++)
        {
            var (best, size, pr, pc) = (int.MaxValue, 0.0, -1, -1);
            foreach (var c in columns)
            {
                var most = rows.Max(r => Math.Abs(a[r * w + c]));
                var inColumn = rows.Count(r => there[r * w + c]);
                foreach (var r in rows)
                {
                    var v = Math.Abs(a[r * w + c]);
                    if (!(v > 1e-30) || v < Threshold * most) continue;
                    var cost = (inColumn - 1) * (columns.Count(x => there[r * w + x]) - 1);
                    if (cost < best || (cost == best && v > size)) (best, size, pr, pc) = (cost, v, r, c);
                }
            }
            if (pr < 0) return columns[0];
            (_row[k], _column[k]) = (pr, pc);
            rows.Remove(pr);
            columns.Remove(pc);
            int[] right = [.. columns.Where(c => there[pr * w + c])], below = [.. rows.Where(r => there[r * w + pc])];
            eliminate.AddRange([pr * w + pc, right.Length, below.Length, .. right.Select(c => pr * w + c)]);
            _inverse[k] = 1 / a[pr * w + pc];
            foreach (var r in below)
            {
                var f = a[r * w + pc] *= _inverse[k];
                eliminate.Add(r * w + pc);
                forward.AddRange([r, pr, r * w + pc]);
                foreach (var c in right)
                {
                    there[r * w + c] = true;
                    a[r * w + c] -= f * a[pr * w + c];
                    eliminate.Add(r * w + c);
                }
            }
            backward.AddRange([pr, pc, right.Length, .. right.SelectMany(c => new[] { pr * w + c, c })]);
        }
        (_eliminate, _forward) = ([.. eliminate], [.. forward]);
        // Backwards runs from the last pivot to the first.
        List<int> turned = [];
        for (var (k, starts) = (n - 1, Starts(backward)); k >= 0; k--) turned.AddRange(backward.GetRange(starts[k], 3 + 2 * backward[starts[k] + 2]));
        _backward = [.. turned];
        _ordered = true;
        return -1;
    }

    /// <summary>Overwrites b (length n or n + 1) with the solution.</summary>
    public void Solve(Span<double> b)
    {
        var a = Matrix;
        var forward = _forward;
        for (var k = 0; k < forward.Length; k += 3) b[forward[k]] -= a[forward[k + 2]] * b[forward[k + 1]];
        var ops = _backward;
        var (at, x) = (0, _work);
        for (var k = n - 1; k >= 0; k--)
        {
            var s = b[ops[at]];
            var column = ops[at + 1];
            var end = at + 3 + 2 * ops[at + 2];
            for (at += 3; at < end; at += 2) s -= a[ops[at]] * x[ops[at + 1]];
            x[column] = s * _inverse[k];
        }
        x.CopyTo(b);
    }

    private static int[] Starts(List<int> ops)
    {
        List<int> starts = [];
        for (var at = 0; at < ops.Count; at += 3 + 2 * ops[at + 2]) starts.Add(at);
        return [.. starts];
    }
}
