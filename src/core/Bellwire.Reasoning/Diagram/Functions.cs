namespace Bellwire.Reasoning.Diagram;

/// <summary>Hash-consed multi-valued decision diagrams: functions from hidden variables to small whole numbers.
/// A reference ≥ 0 is a node, a negative one is the constant ~reference.</summary>
internal sealed class Functions(Variables variables)
{
    private int[] _var = new int[1024];
    private int[] _start = new int[1024];
    private int[] _kids = new int[4096];
    private int _count, _used;
    private int[] _slots = NewSlots(4096);
    private readonly (int F, int G, int H, int R)[] _ite = NewCache();

    /// <summary>Nodes beyond which making another gives up.</summary>
    public int Ceiling { get; set; } = int.MaxValue;

    /// <summary>Numbers that one walk through a diagram and a function may keep.</summary>
    public long WalkNumbers { get; set; } = long.MaxValue;

    public const int Good = ~0, False = ~0, True = ~1;

    public int Count => _count;
    public Variables Variables => variables;
    public static bool IsConstant(int f) => f < 0;
    public int Var(int f) => _var[f];
    public long Key(int f) => f < 0 ? long.MaxValue : variables[_var[f]].Key;
    public ReadOnlySpan<int> Kids(int f) => _kids.AsSpan(_start[f], variables[_var[f]].Arity);

    public int Of(Variable v)
    {
        Span<int> kids = stackalloc int[v.Arity];
        for (var i = 0; i < kids.Length; i++) kids[i] = ~i;
        return Make(v.Id, kids);
    }

    /// <summary>The function that takes kids[v] where the variable has the value v.</summary>
    public int Make(int var, ReadOnlySpan<int> kids)
    {
        var same = true;
        for (var i = 1; i < kids.Length && same; i++) same = kids[i] == kids[0];
        if (same) return kids[0];
        var hash = Hash(var, kids);
        var mask = _slots.Length - 1;
        for (var at = hash & mask; ; at = (at + 1) & mask)
        {
            var n = _slots[at];
            if (n < 0)
            {
                if (_count >= Ceiling) throw new DiagramTooLargeException();
                _slots[at] = Append(var, kids);
                if (_count * 2 > _slots.Length) Rehash();
                return _count - 1;
            }
            if (_var[n] == var && Kids(n).SequenceEqual(kids)) return n;
        }
    }

    /// <summary>f ? g : h, where f takes only 0 and 1.</summary>
    public int IfThenElse(int f, int g, int h)
    {
        if (f == True || g == h) return g;
        if (f == False) return h;
        if (g == True && h == False) return f;
        ref var cached = ref _ite[((f * 0x1F1F1F1F) ^ (g * 0x2545F491) ^ (h * 0x9E3779B)) & (_ite.Length - 1)];
        if (cached.F == f && cached.G == g && cached.H == h) return cached.R;
        long kf = Key(f), kg = Key(g), kh = Key(h), k = Math.Min(kf, Math.Min(kg, kh));
        var v = variables[_var[k == kf ? f : k == kg ? g : h]];
        Span<int> kids = stackalloc int[v.Arity];
        for (var i = 0; i < kids.Length; i++)
            kids[i] = IfThenElse(
                k == kf ? _kids[_start[f] + i] : f, k == kg ? _kids[_start[g] + i] : g, k == kh ? _kids[_start[h] + i] : h);
        var r = Make(v.Id, kids);
        _ite[((f * 0x1F1F1F1F) ^ (g * 0x2545F491) ^ (h * 0x9E3779B)) & (_ite.Length - 1)] = (f, g, h, r);
        return r;
    }

    public int And(int f, int g) => IfThenElse(f, g, False);
    public int Or(int f, int g) => IfThenElse(f, True, g);
    public int Not(int f) => IfThenElse(f, False, True);

    /// <summary>Renames the values of a function: value x becomes table[x].</summary>
    public int Map(int f, int[] table) => f < 0 ? ~table[~f] : Map(f, table, []);

    /// <summary>1 where f takes the value.</summary>
    public int Is(int f, int value, int values)
    {
        if (f < 0) return ~f == value ? True : False;
        var table = new int[values];
        table[value] = 1;
        return Map(f, table);
    }

    /// <summary>The function with one variable held at a value.</summary>
    public int Hold(int f, Variable v, int value) => Hold(f, v, value, []);

    /// <summary>True for a constant and for a function of a single variable.</summary>
    public bool Alone(int f)
    {
        if (f < 0) return true;
        foreach (var k in Kids(f))
            if (k >= 0) return false;
        return true;
    }

    /// <summary>Adds every variable the function depends on.</summary>
    public void Support(int f, HashSet<int> vars, HashSet<int> seen)
    {
        if (f < 0 || !seen.Add(f)) return;
        vars.Add(_var[f]);
        foreach (var k in Kids(f)) Support(k, vars, seen);
    }

    public HashSet<int> Support(int f)
    {
        var vars = new HashSet<int>();
        Support(f, vars, []);
        return vars;
    }

    private int Map(int f, int[] table, Dictionary<int, int> memo)
    {
        if (f < 0) return ~table[~f];
        if (memo.TryGetValue(f, out var r)) return r;
        Span<int> kids = stackalloc int[variables[_var[f]].Arity];
        for (var i = 0; i < kids.Length; i++) kids[i] = Map(_kids[_start[f] + i], table, memo);
        return memo[f] = Make(_var[f], kids);
    }

    private int Hold(int f, Variable v, int value, Dictionary<int, int> memo)
    {
        if (f < 0 || Key(f) > v.Key) return f;
        if (_var[f] == v.Id) return _kids[_start[f] + value];
        if (memo.TryGetValue(f, out var r)) return r;
        Span<int> kids = stackalloc int[variables[_var[f]].Arity];
        for (var i = 0; i < kids.Length; i++) kids[i] = Hold(_kids[_start[f] + i], v, value, memo);
        return memo[f] = Make(_var[f], kids);
    }

    private int Append(int var, ReadOnlySpan<int> kids)
    {
        if (_count == _var.Length)
        {
            Array.Resize(ref _var, _count * 2);
            Array.Resize(ref _start, _count * 2);
        }
        while (_used + kids.Length > _kids.Length) Array.Resize(ref _kids, _kids.Length * 2);
        _var[_count] = var;
        _start[_count] = _used;
        kids.CopyTo(_kids.AsSpan(_used));
        _used += kids.Length;
        return _count++;
    }

    private void Rehash()
    {
        _slots = NewSlots(_slots.Length * 2);
        var mask = _slots.Length - 1;
        for (var n = 0; n < _count; n++)
        {
            var at = Hash(_var[n], Kids(n)) & mask;
            while (_slots[at] >= 0) at = (at + 1) & mask;
            _slots[at] = n;
        }
    }

    private static int Hash(int var, ReadOnlySpan<int> kids)
    {
        var h = (uint)var * 0x9E3779B1u;
        foreach (var k in kids) h = (h ^ (uint)k) * 0x85EBCA6Bu ^ (h >> 15);
        return (int)((h ^ (h >> 13)) & 0x7FFFFFFF);
    }

    private static int[] NewSlots(int n)
    {
        var s = new int[n];
        Array.Fill(s, -1);
        return s;
    }

    private static (int, int, int, int)[] NewCache()
    {
        var c = new (int, int, int, int)[1 << 15];
        Array.Fill(c, (int.MaxValue, 0, 0, 0));
        return c;
    }
}
