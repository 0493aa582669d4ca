using Bellwire.Reasoning.Diagram;

namespace Bellwire.Reasoning.Engine;

/// <summary>Functions of the fault set whose values are numbers of distributions: what is left of a look when every switch that is
/// independent of all that was seen has been summed out.</summary>
internal sealed class Spreads(World world, int values)
{
    private const int Most = 4000;
    private readonly Functions _f = world.Functions;
    private readonly List<double[]> _all = [];
    private readonly Dictionary<string, int> _number = [];
    private readonly Dictionary<int, int?> _memo = [];

    public int Count => _all.Count;
    public double[] this[int k] => _all[k];

    /// <summary>Null when a switch is not independent, when a cause moves one, or when there are too many distributions.</summary>
    /// <param name="tied">Whether a variable that stands for no site is no independent switch.</param>
    public int? Of(int f, Func<Variable, bool> tied)
    {
        if (f < 0)
        {
            var sure = new double[values];
            sure[~f] = 1;
            return Number(sure);
        }
        if (_memo.TryGetValue(f, out var known)) return known;
        var v = _f.Variables[_f.Var(f)];
        var stands = world.StoodFor(v.Id) is not null;
        if (!stands && (tied(v) || !SameInEveryLane(v))) return _memo[f] = null;
        var parts = new int[v.Arity];
        for (var x = 0; x < parts.Length; x++)
        {
            if (Of(_f.Kids(f)[x], tied) is not { } part) return _memo[f] = null;
            parts[x] = part;
        }
        if (stands) return _memo[f] = _f.Make(v.Id, parts);
        int? r = parts[0];
        var sum = v.Prior[0];
        for (var x = 1; x < parts.Length; x++)
        {
            var p = v.Prior[x * _f.Variables.Lanes];
            sum += p;
            if (sum > 0) r = Mix(r.Value, parts[x], p / sum, []);
        }
        return _memo[f] = _all.Count > Most ? null : r;
    }

    /// <summary>(1 − share)·a + share·b, wherever the fault set is.</summary>
    private int Mix(int a, int b, double share, Dictionary<(int, int), int> memo)
    {
        if (a == b || share == 0) return a;
        if (share == 1) return b;
        if (a < 0 && b < 0) return Number([.. _all[~a].Zip(_all[~b], (x, y) => (1 - share) * x + share * y)]);
        if (memo.TryGetValue((a, b), out var known)) return known;
        long ka = _f.Key(a), kb = _f.Key(b);
        var v = _f.Variables[_f.Var(ka <= kb ? a : b)];
        var kids = new int[v.Arity];
        for (var x = 0; x < kids.Length; x++) kids[x] = Mix(ka <= kb ? _f.Kids(a)[x] : a, kb <= ka ? _f.Kids(b)[x] : b, share, memo);
        return memo[(a, b)] = _f.Make(v.Id, kids);
    }

    private int Number(double[] spread)
    {
        var name = string.Join(' ', spread.Select(x => BitConverter.DoubleToInt64Bits(Evidence.Round(x))));
        if (_number.TryGetValue(name, out var k)) return ~k;
        _all.Add(spread);
        return ~(_number[name] = _all.Count - 1);
    }

    private bool SameInEveryLane(Variable v)
    {
        for (var i = 0; i < v.Prior.Length; i++)
            if (v.Prior[i] != v.Prior[i - i % _f.Variables.Lanes]) return false;
        return true;
    }
}
