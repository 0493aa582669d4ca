using Bellwire.Reasoning.Diagram;

namespace Bellwire.Reasoning.Tables;

/// <summary>A network given by plain tables, weighed by the same diagram as cases are. Variables come first, parents before
/// children reads best but any order is right; then tables, then evidence.</summary>
public sealed class TableNetwork
{
    private readonly List<(string Name, string[] States)> _variables = [];
    private readonly List<(int[] Of, double[] Values)> _factors = [];

    /// <summary>Adds a variable with at least two states.</summary>
    /// <exception cref="ArgumentException">The name is taken or there are fewer than two states.</exception>
    public TableNetwork Variable(string name, params string[] states)
    {
        if (_variables.Any(v => v.Name == name)) throw new ArgumentException($"There is already a variable '{name}'.", nameof(name));
        if (states.Length < 2) throw new ArgumentException($"Variable '{name}' has {states.Length} states; at least two are wanted.", nameof(states));
        _variables.Add((name, states));
        return this;
    }

    /// <summary>Multiplies in a table over variables, the last running fastest. A conditional table names its parents first
    /// and the child last; a joint likelihood may be any non-negative numbers.</summary>
    /// <exception cref="ArgumentException">The number of values is not the product of the numbers of states, or one is negative.</exception>
    public TableNetwork Table(string[] of, params double[] values)
    {
        var ids = of.Select(Index).ToArray();
        var size = ids.Aggregate(1, (n, i) => n * _variables[i].States.Length);
        if (values.Length != size) throw new ArgumentException($"The table over {string.Join(", ", of)} wants {size} values, not {values.Length}.", nameof(values));
        if (values.Any(v => !(v >= 0))) throw new ArgumentException($"The table over {string.Join(", ", of)} has the value {values.First(v => !(v >= 0))}.", nameof(values));
        _factors.Add((ids, values));
        return this;
    }

    /// <summary>Multiplies in a table given by a function of the states' numbers.</summary>
    public TableNetwork Table(string[] of, Func<int[], double> value)
    {
        var sizes = of.Select(n => _variables[Index(n)].States.Length).ToArray();
        var values = new double[sizes.Aggregate(1, (a, b) => a * b)];
        var x = new int[sizes.Length];
        for (var k = 0; k < values.Length; k++)
        {
            for (int i = sizes.Length - 1, rest = k; i >= 0; rest /= sizes[i], i--) x[i] = rest % sizes[i];
            values[k] = value(x);
        }
        return Table(of, values);
    }

    /// <summary>Weighs the network with some variables seen in a state.</summary>
    /// <exception cref="ArgumentException">A variable or state is not known.</exception>
    public TableAnswer Weigh(params (string Variable, string State)[] seen)
    {
        var variables = new Variables(1);
        var functions = new Functions(variables);
        var evidence = new Evidence(functions);
        var own = new Diagram.Variable[_variables.Count];
        double log = 0;
        for (var i = 0; i < own.Length; i++)
        {
            var n = _variables[i].States.Length;
            own[i] = variables.Get(_variables[i].Name, (long)i << 8, n, () => [.. Enumerable.Repeat(1.0 / n, n)]);
            log += Math.Log(n); // the diagram's own prior is uniform; the tables carry the odds
        }
        var root = Edge.One;
        foreach (var (name, state) in seen)
        {
            var i = Index(name);
            var at = Array.IndexOf(_variables[i].States, state);
            if (at < 0) throw new ArgumentException($"'{name}' has no state '{state}'; it has {string.Join(", ", _variables[i].States)}.", nameof(seen));
            var likelihood = new double[_variables[i].States.Length];
            likelihood[at] = 1;
            root = evidence.Multiply(root, functions.Of(own[i]), likelihood);
        }
        foreach (var (of, values) in _factors)
        {
            root = evidence.Multiply(root, Build(evidence, own, of, values));
            if (root.Weight == 0) break;
            log += Math.Log(root.Weight);
            root = root with { Weight = 1 };
        }
        if (root.Weight == 0) return new TableAnswer(0, new Dictionary<string, IReadOnlyDictionary<string, double>>(), 0);
        var sweep = new Sweep(evidence, functions, root.Node, [1.0]);
        return new TableAnswer(Math.Exp(log) * sweep.Total,
            _variables.Select((v, i) => (v, p: sweep.Of(own[i]))).ToDictionary(x => x.v.Name,
                x => (IReadOnlyDictionary<string, double>)x.v.States.Select((s, k) => (s, k)).ToDictionary(y => y.s, y => x.p[y.k])), sweep.Nodes);
    }

    /// <summary>log2(Π P(e_i) / P(e)): above 0, the findings speak against one another. The measure of Jensen and others, 1991.</summary>
    public double Conflict(params (string Variable, string State)[] seen) =>
        Math.Log2(seen.Select(e => Weigh(e).Evidence).Aggregate(1.0, (a, b) => a * b) / Weigh(seen).Evidence);

    private static Edge Build(Evidence evidence, Diagram.Variable[] own, int[] of, double[] values)
    {
        var order = Enumerable.Range(0, of.Length).OrderBy(i => of[i]).ToArray();
        var stride = new int[of.Length];
        for (int i = of.Length - 1, s = 1; i >= 0; s *= own[of[i]].Arity, i--) stride[i] = s;
        return Below(0, 0);

        Edge Below(int depth, int offset)
        {
            if (depth == order.Length) return values[offset] == 0 ? Edge.Zero : new Edge(values[offset], 0);
            var v = own[of[order[depth]]];
            var weights = new double[v.Arity];
            var kids = new int[v.Arity];
            for (var x = 0; x < v.Arity; x++)
            {
                var e = Below(depth + 1, offset + x * stride[order[depth]]);
                (weights[x], kids[x]) = (e.Weight, e.Node);
            }
            return evidence.Make(v.Id, weights, kids);
        }
    }

    private int Index(string name)
    {
        var i = _variables.FindIndex(v => v.Name == name);
        return i >= 0 ? i : throw new ArgumentException($"There is no variable '{name}'.", nameof(name));
    }
}

/// <summary>What a table network comes to.</summary>
/// <param name="Evidence">P(all that was seen), exact up to rounding.</param>
/// <param name="Marginals">Variable → state → posterior probability; empty when the evidence is impossible.</param>
/// <param name="Nodes">Nodes of the final diagram.</param>
public sealed record TableAnswer(double Evidence, IReadOnlyDictionary<string, IReadOnlyDictionary<string, double>> Marginals, int Nodes)
{
    /// <summary>Posterior probability of one state.</summary>
    public double P(string variable, string state) => Marginals[variable][state];
}
