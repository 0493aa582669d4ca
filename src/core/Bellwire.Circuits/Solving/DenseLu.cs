using System.Numerics;

namespace Bellwire.Circuits.Solving;

/// <summary>
/// LU with partial pivoting, flat and row-major, for the few dozen unknowns of a supply or an output stage.
/// Rows with nothing to eliminate are skipped, which is most of the work saved on circuit matrices.
/// (Golub &amp; Van Loan, Matrix Computations, algorithm 3.4.1.)
/// </summary>
internal sealed class DenseLu<T>(int n) where T : struct, INumberBase<T>
{
    private readonly T[] _a = new T[n * n];
    private readonly int[] _pivot = new int[n];

    /// <summary>Room for the matrix, row-major; overwritten by <see cref="Factor"/>.</summary>
    public T[] Matrix => _a;

    /// <summary>The column where no pivot was left, or −1 when the factors stand.</summary>
    public int Factor()
    {
        var a = _a;
        for (var k = 0; k < n; k++)
        {
            var (p, best) = (k, T.Abs(a[k * n + k]));
            for (var r = k + 1; r < n; r++)
            {
                var size = T.Abs(a[r * n + k]);
                if (double.CreateTruncating(size) > double.CreateTruncating(best)) (p, best) = (r, size);
            }
            _pivot[k] = p;
            if (!(double.CreateTruncating(best) > 1e-30)) return k;
            if (p != k) a.AsSpan(k * n, n).Swap(a.AsSpan(p * n, n));
            var inverse = T.One / a[k * n + k];
            var pivotRow = a.AsSpan(k * n, n);
            for (var r = k + 1; r < n; r++)
            {
                var row = a.AsSpan(r * n, n);
                if (T.IsZero(row[k])) continue;
                var f = row[k] *= inverse;
                for (var c = k + 1; c < row.Length; c++) row[c] -= f * pivotRow[c];
            }
        }
        return -1;
    }

    public void Solve(Span<T> b)
    {
        var a = _a;
        for (var k = 0; k < n; k++)
        {
            var p = _pivot[k];
            if (p != k) (b[k], b[p]) = (b[p], b[k]);
        }
        for (var r = 1; r < n; r++)
        {
            var s = b[r];
            var row = a.AsSpan(r * n, r);
            for (var c = 0; c < row.Length; c++) s -= row[c] * b[c];
            b[r] = s;
        }
        for (var r = n - 1; r >= 0; r--)
        {
            var s = b[r];
            for (var c = r + 1; c < n; c++) s -= a[r * n + c] * b[c];
            b[r] = s / a[r * n + r];
        }
    }
}

internal static class RowSwap
{
    public static void Swap<T>(this Span<T> x, Span<T> y)
    {
        for (var i = 0; i < x.Length; i++) (x[i], y[i]) = (y[i], x[i]);
    }
}
