using System.Numerics;

namespace Bellwire.Circuits.Solving;

/// <summary>The linear equations of a circuit around an operating point, at one frequency after another.</summary>
internal sealed class SmallSignal
{
    private readonly Assembly _assembly;
    private readonly string _source;
    private readonly double[] _slopes;
    private readonly DenseLu<Complex> _lu;

    public SmallSignal(Assembly assembly, double[] around, string source)
    {
        (_assembly, _source, _lu) = (assembly, source, new(assembly.Count));
        var w = assembly.Count + 1;
        _slopes = new double[w * w];
        Span<double> v = stackalloc double[8], i = stackalloc double[8], g = stackalloc double[64], memory = stackalloc double[4];
        foreach (var e in assembly.Nonlinears)
        {
            var count = e.Nodes.Length;
            for (var r = 0; r < count; r++) v[r] = around[e.Nodes[r]];
            e.Evaluate(v[..count], i[..count], g[..(count * count)], memory[..e.Memory], limit: false);
            for (var r = 0; r < count; r++)
                for (var c = 0; c < count; c++) _slopes[e.Nodes[r] * w + e.Nodes[c]] += g[r * count + c];
        }
    }

    /// <summary>The phasors of the unknowns, ground last; null when the matrix is singular.</summary>
    public Complex[]? At(double hertz)
    {
        var (n, s) = (_assembly.Count, new Complex(0, 2 * Math.PI * hertz));
        var w = n + 1;
        var full = new Complex[w * w];
        var right = new Complex[w];
        for (var k = 0; k < full.Length; k++) full[k] = _slopes[k];
        foreach (var b in _assembly.Branches)
        {
            var drive = b.Device == _source && b.Source is not null ? 1 : 0;
            if (b.Kind == BranchKind.Ideal)
            {
                for (var r = 0; r < 2; r++)
                {
                    full[b.Nodes[r] * w + b.Row] += b.Signs[r];
                    full[b.Row * w + b.Nodes[r]] += b.Signs[r];
                }
                right[b.Row] += drive;
                continue;
            }
            var admittance = b.Kind switch
            {
                BranchKind.Capacitive => 1 / (b.Ohms + 1 / (s * b.Value)),
                BranchKind.Inductive => 1 / (b.Ohms + s * b.Value),
                BranchKind.Injected => Complex.Zero,
                _ => 1 / b.Ohms,
            };
            var current = b.Kind == BranchKind.Injected ? drive : -drive * admittance;
            for (var r = 0; r < b.Nodes.Length; r++)
            {
                right[b.Nodes[r]] -= b.Signs[r] * current;
                for (var c = 0; c < b.Nodes.Length; c++) full[b.Nodes[r] * w + b.Nodes[c]] += b.Signs[r] * b.Signs[c] * admittance;
            }
        }
        for (var r = 0; r < n; r++) full.AsSpan(r * w, n).CopyTo(_lu.Matrix.AsSpan(r * n, n));
        if (_lu.Factor() >= 0) return null;
        right[n] = 0;
        _lu.Solve(right.AsSpan(0, n));
        return right;
    }
}
