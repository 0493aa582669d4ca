namespace Bellwire.Circuits.Solving;

/// <summary>
/// LU with partial pivoting for the dozen or two unknowns of a supply or an output stage: flat, row-major, one row and one
/// column wider than the unknowns so that stamps on ground need no test. Rows with nothing to eliminate are skipped.
/// (Golub &amp; Van Loan, Matrix Computations, algorithm 3.4.1.)
/// </summary>
internal sealed class RealLu(int n)
{
    private readonly int[] _pivot = new int[n];
    private readonly double[] _inverse = new double[n];

    /// <summary>Row length: unknowns and ground.</summary>
    public int Stride { get; } = n + 1;

    /// <summary>The matrix, overwritten by <see cref="Factor"/>.</summary>
    public double[] Matrix { get; } = new double[(n + 1) * (n + 1)];

    /// <summary>The column where no pivot was left, or −1 when the factors stand.</summary>
    public int Factor()
    {
        var a = Matrix;
        var w = Stride;
        for (var k = 0; k < n; k++)
        {
            var (p, best) = (k, Math.Abs(a[k * w + k]));
            for (var r = k + 1; r < n; r++)
            {
                var size = Math.Abs(a[r * w + k]);
                if (size > best) (p, best) = (r, size);
            }
            _pivot[k] = p;
            if (!(best > 1e-30)) return k;
            if (p != k)
            {
                var x = a.AsSpan(k * w, n);
                var y = a.AsSpan(p * w, n);
                for (var c = 0; c < x.Length; c++) (x[c], y[c]) = (y[c], x[c]);
            }
            var inverse = _inverse[k] = 1 / a[k * w + k];
            var top = a.AsSpan(k * w + k + 1, n - k - 1);
            for (var r = k + 1; r < n; r++)
            {
                ref var lead = ref a[r * w + k];
                if (lead == 0) continue;
                var f = lead *= inverse;
                var row = a.AsSpan(r * w + k + 1, top.Length);
                for (var c = 0; c < row.Length; c++) row[c] -= f * top[c];
            }
        }
        return -1;
    }

    /// <summary>Overwrites b (length n or n + 1) with the solution.</summary>
    public void Solve(Span<double> b)
    {
        var a = Matrix;
        var w = Stride;
        for (var k = 0; k < n; k++)
        {
            var p = _pivot[k];
            if (p != k) (b[k], b[p]) = (b[p], b[k]);
        }
        for (var r = 1; r < n; r++)
        {
            var s = b[r];
            var row = a.AsSpan(r * w, r);
            for (var c = 0; c < row.Length; c++) s -= row[c] * b[c];
            b[r] = s;
        }
        for (var r = n - 1; r >= 0; r--)
        {
            var s = b[r];
            var row = a.AsSpan(r * w, n);
            for (var c = r + 1; c < row.Length; c++) s -= row[c] * b[c];
            b[r] = s * _inverse[r];
        }
    }
}
