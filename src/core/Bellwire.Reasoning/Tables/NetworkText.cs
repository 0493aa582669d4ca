using System.Globalization;
using System.Text;
using Bellwire.Reasoning.Diagram;
using Bellwire.Reasoning.Engine;

namespace Bellwire.Reasoning.Tables;

/// <summary>A weighed case written as a network of factors in the UAI format (the "MARKOV" form of the UAI 2008 evaluation of inference), so that another
/// program can reckon its evidence: ln of its partition function is ln p of everything seen. Priors, ties of hazards and looks are written as
/// they were before anything was cut; a look over many variables is written as a walk through its diagram, one step variable after each.</summary>
public sealed class NetworkText
{
    /// <summary>A look whose table would be larger than this is written as a walk.</summary>
    private const int MostCells = 1 << 10;

    private readonly Chain _chain;
    private readonly Functions _functions;
    private readonly Variables _variables;
    private readonly List<int> _arity = [];
    private readonly Dictionary<int, int> _number = [];
    private readonly List<(int[] Scope, double[] Table)> _factors = [];
    private double _constant = 1;

    private NetworkText(Chain chain) => (_chain, _functions, _variables) = (chain, chain.World.Functions, chain.World.Variables);

    /// <summary>The network of a weighed case.</summary>
    /// <exception cref="InvalidOperationException">The case contradicts itself, or its worlds were drawn without a diagram: there are no factors to write.</exception>
    public static string Of(Weighing weighing)
    {
        if (weighing.Chain is not { } chain) throw new InvalidOperationException("Only a tape that was reckoned by diagram can be written as a network.");
        lock (chain.World.Lock) return new NetworkText(chain).Written();
    }

    private string Written()
    {
        // The joint state of the causes, with what was told of them; one state more than there are where there is only one.
        var lanes = _variables.Lanes;
        _arity.Add(Math.Max(2, lanes));
        _factors.Add(([0], [.. _chain.Last.LaneWeights, .. new double[Math.Max(0, 2 - lanes)]]));
        foreach (var link in _chain.Links)
            if (link.Seen.Table is { } table) Look(link.Seen.F, table);
        foreach (var tie in _chain.World.Ties.Where(t => _chain.Last.Bound.Contains(t.Switch.Id)))
        {
            var fired = _functions.And(_functions.Of(tie.Lot), tie.Trigger);
            Look(_functions.IfThenElse(_functions.Of(tie.Switch), fired, _functions.Not(fired)), [0, 2]);
        }
        for (var i = 0; i < _factors[0].Table.Length; i++) _factors[0].Table[i] *= _constant;
        var text = new StringBuilder($"MARKOV\n{_arity.Count}\n{string.Join(' ', _arity)}\n{_factors.Count}\n");
        foreach (var (scope, _) in _factors) text.Append(CultureInfo.InvariantCulture, $"{scope.Length} {string.Join(' ', scope)}\n");
        foreach (var (_, table) in _factors) text.Append(CultureInfo.InvariantCulture, $"\n{table.Length}\n {string.Join(' ', table.Select(x => x.ToString("R", CultureInfo.InvariantCulture)))}\n");
        return text.ToString();
    }

    private void Look(int f, double[] table)
    {
        if (f < 0) { _constant *= table[~f]; return; }
        var over = _functions.Support(f).Select(v => _variables[v]).OrderBy(v => v.Key).ToList();
        // What comes and goes does so anew in each look.
        var trials = new Dictionary<int, int>();
        int[] numbers = [.. over.Select(v => v.Trial ? trials[v.Id] = Made(v) : Number(v))];
        if (over.Aggregate(1.0, (n, v) => n * v.Arity) <= MostCells)
        {
            _factors.Add((numbers, [.. Values(f, over, 0).Select(x => table[x])]));
            return;
        }
        List<int> at = [f];
        var step = -1;
        for (var k = 0; k < over.Count; k++)
        {
            // Where each diagram node leads on each value of this variable.
            var next = new List<int>();
            var to = new List<int>();
            foreach (var n in at)
                for (var x = 0; x < over[k].Arity; x++)
                {
                    var kid = n >= 0 && _functions.Var(n) == over[k].Id ? _functions.Kids(n)[x] : n;
                    var place = next.IndexOf(kid);
                    if (place < 0) { place = next.Count; next.Add(kid); }
                    to.Add(place);
                }
            var last = k == over.Count - 1;
            int[] scope = step < 0 ? [numbers[k]] : [step, numbers[k]];
            var rows = step < 0 ? 1 : _arity[step];
            var wide = Math.Max(2, next.Count);
            var cells = new double[rows * over[k].Arity * (last ? 1 : wide)];
            for (var i = 0; i < to.Count; i++)
                if (last) cells[i] = table[~next[to[i]]];
                else cells[i * wide + to[i]] = 1;
            if (!last)
            {
                step = _arity.Count;
                _arity.Add(wide);
                scope = [.. scope, step];
            }
            _factors.Add((scope, cells));
            at = next;
        }
    }

    /// <summary>Values of the function over all states of the variables, the last one changing fastest.</summary>
    private IEnumerable<int> Values(int f, List<Variable> over, int from)
    {
        if (from == over.Count) return [~f];
        return Enumerable.Range(0, over[from].Arity).SelectMany(x => Values(f >= 0 && _functions.Var(f) == over[from].Id ? _functions.Kids(f)[x] : f, over, from + 1));
    }

    private int Number(Variable v)
    {
        if (!_number.TryGetValue(v.Id, out var n)) _number[v.Id] = n = Made(v);
        return n;
    }

    /// <summary>A new variable of the network with its chances beforehand.</summary>
    private int Made(Variable v)
    {
        var n = _arity.Count;
        _arity.Add(v.Arity);
        var lanes = _variables.Lanes;
        double At(int x, int lane) => v.Prior[x * lanes + Math.Min(lane, lanes - 1)];
        if (Enumerable.Range(0, v.Arity).All(x => Enumerable.Range(1, lanes - 1).All(l => At(x, l) == At(x, 0))))
            _factors.Add(([n], [.. Enumerable.Range(0, v.Arity).Select(x => At(x, 0))]));
        else
            _factors.Add(([0, n], [.. Enumerable.Range(0, _arity[0]).SelectMany(l => Enumerable.Range(0, v.Arity).Select(x => At(x, l)))]));
        return n;
    }
}
