namespace Bellwire.Reasoning.Diagram;

/// <summary>A hidden variable. Given the causes (the lane), all variables are independent of one another beforehand:
/// whatever couples them is a function or a factor.</summary>
/// <param name="Key">Place in the variable order; smaller is nearer the root.</param>
/// <param name="Prior">Chance of value v in lane l at [v·lanes + l]; sums to one over v.</param>
/// <param name="Trial">True for the chance of an intermittent fault to show in one look: summed out inside that look.</param>
internal sealed record Variable(int Id, string Name, long Key, int Arity, double[] Prior, bool Trial);

/// <summary>The variables of one case, created when first mentioned, with sparse order labels.</summary>
internal sealed class Variables(int lanes)
{
    private readonly List<Variable> _all = [];
    private readonly Dictionary<string, int> _byName = [];
    private readonly HashSet<long> _keys = [];

    public int Lanes => lanes;
    public int Count => _all.Count;
    public Variable this[int id] => _all[id];


    /// <summary>The variable of that name, made if need be. A taken order label moves down to the next free one.</summary>
    public Variable Get(string name, long key, int arity, Func<double[]> prior, bool trial = false)
    {
        if (_byName.TryGetValue(name, out var id)) return _all[id];
        while (!_keys.Add(key)) key++;
        var v = new Variable(_all.Count, name, key, arity, prior(), trial);
        _all.Add(v);
        _byName[name] = v.Id;
        return v;
    }

    /// <summary>A prior that is the same in every lane.</summary>
    public double[] Same(params ReadOnlySpan<double> chances)
    {
        var p = new double[chances.Length * lanes];
        for (var v = 0; v < chances.Length; v++) p.AsSpan(v * lanes, lanes).Fill(chances[v]);
        return p;
    }
}
