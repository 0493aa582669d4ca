using Bellwire.Reasoning.Diagram;

namespace Bellwire.Reasoning.Engine;

/// <summary>Worlds drawn exactly from the posterior, by walking down the evidence diagram; what it never mentions is drawn
/// from its prior in the lane drawn, hazards that nothing seen has tied yet from their triggers.</summary>
internal sealed class Lots
{
    private readonly Functions _f;
    private readonly short[] _value;
    private ulong _state;

    public Lots(Chain c, int count, ulong seed)
        : this(c, count)
    {
        _state = seed * 0xD1342543DE82EF95 + 0x2545F4914F6CDD1D;
        var ties = c.World.Ties.Where(t => !c.Last.Bound.Contains(t.Switch.Id)).ToList();
        for (var i = 0; i < count; i++) DrawOne(c, i, ties);
        Sort(c);
    }

    /// <summary>Worlds picked out of others, one place each.</summary>
    /// <param name="from">The batches drawn.</param>
    /// <param name="picks">(batch, world) for each place.</param>
    public Lots(Chain c, IReadOnlyList<Lots> from, IReadOnlyList<(int Batch, int World)> picks)
        : this(c, picks.Count)
    {
        Known = from[0].Known;
        _value = new short[Count * Known];
        for (var i = 0; i < Count; i++)
        {
            var (batch, world) = picks[i];
            from[batch]._value.AsSpan(world * Known, Known).CopyTo(_value.AsSpan(i * Known));
            Lane[i] = from[batch].Lane[world];
        }
        Sort(c);
    }

    private Lots(Chain c, int count)
    {
        _f = c.World.Functions;
        (Count, Known) = (count, c.World.Variables.Count);
        (_value, Lane) = (new short[count * Known], new int[count]);
        (States, Group, Faults, Share) = (new byte[count][], new int[count], new int[count][], new double[c.World.Anatomy.Sites.Count]);
    }

    private void Sort(Chain c)
    {
        var sites = c.World.Anatomy.Sites;
        var groups = new Dictionary<byte[], int>(new ByContent());
        var faults = new List<int>();
        for (var i = 0; i < Count; i++)
        {
            var x = States[i] = new byte[sites.Count];
            for (var s = 0; s < x.Length; s++) x[s] = (byte)Value(c.Last.Site[s], i);
            faults.Clear();
            for (var s = 0; s < x.Length; s++)
                if (x[s] != 0) faults.Add(s);
            Faults[i] = [.. faults];
            foreach (var s in faults) Share[s] += 1.0 / Count;
            if (!groups.TryGetValue(x, out Group[i])) groups[x] = Group[i] = groups.Count;
        }
        Groups = groups.Count;
    }

    public int Count { get; }

    /// <summary>Variables made later than this were not drawn; they are new and independent of all that was seen.</summary>
    public int Known { get; }
    public int[] Lane { get; }

    public byte[][] States { get; }

    /// <summary>The sites not good in each world.</summary>
    public int[][] Faults { get; }

    /// <summary>Share of the worlds in which each site is not good.</summary>
    public double[] Share { get; }

    /// <summary>Equal numbers mean equal fault sets.</summary>
    public int[] Group { get; }
    public int Groups { get; private set; }

    /// <summary>Value of a function of drawn variables in world i.</summary>
    public int Value(int f, int i)
    {
        while (f >= 0) f = _f.Kids(f)[_value[i * Known + _f.Var(f)]];
        return ~f;
    }

    /// <summary>Adds to <paramref name="into"/> the chances of the function's values in world i, new and trial variables summed.</summary>
    public void Spread(int f, int i, double weight, Span<double> into)
    {
        while (f >= 0)
        {
            var v = _f.Variables[_f.Var(f)];
            if (v.Id < Known && !v.Trial)
            {
                f = _f.Kids(f)[_value[i * Known + v.Id]];
                continue;
            }
            for (var x = 0; x < v.Arity; x++)
            {
                var p = v.Prior[x * _f.Variables.Lanes + Lane[i]];
                if (p > 0) Spread(_f.Kids(f)[x], i, weight * p, into);
            }
            return;
        }
        into[~f] += weight;
    }

    /// <summary>ln of the likelihood that an evidence diagram gives world i.</summary>
    public double LogOf(Sweep sweep, int i)
    {
        double log = 0, path = 1;
        for (var n = sweep.Nodes - 1; n != 0;)
        {
            var edge = sweep.Edges(n) + _value[i * Known + sweep.Var(n)];
            path *= sweep.Weight(edge);
            if (path == 0) return double.NegativeInfinity;
            if (path < 1e-200) (path, log) = (1, log + Math.Log(path));
            n = sweep.Kid(edge);
        }
        return log + Math.Log(path);
    }

    private void DrawOne(Chain c, int i, List<Tie> ties)
    {
        var variables = c.World.Variables;
        var lanes = variables.Lanes;
        var sweep = c.Sweep;
        var lane = Lane[i] = Pick(sweep.Lane, 0, 1, lanes);
        var row = _value.AsSpan(i * Known, Known);
        for (var v = 0; v < Known; v++) row[v] = (short)Pick(variables[v].Prior, lane, lanes, variables[v].Arity);
        for (var n = sweep.Nodes - 1; n != 0;)
        {
            var v = variables[sweep.Var(n)];
            var start = sweep.Edges(n);
            var u = Uniform() * sweep.UpOf(n, lane);
            var pick = -1;
            for (var x = 0; x < v.Arity; x++)
            {
                var w = sweep.Weight(start + x) * v.Prior[x * lanes + lane];
                var m = w == 0 ? 0 : w * sweep.UpOf(sweep.Kid(start + x), lane);
                if (m <= 0) continue;
                pick = x;
                if (u < m) break;
                u -= m;
            }
            row[v.Id] = (short)pick;
            n = sweep.Kid(start + pick);
        }
        foreach (var t in ties)
            if (t.Switch.Id < Known) row[t.Switch.Id] = (short)(row[t.Lot.Id] == 1 && Value(t.Trigger, i) == 1 ? 1 : 0);
    }

    private int Pick(double[] p, int at, int step, int n)
    {
        var u = Uniform();
        for (var v = 0; v < n - 1; v++)
        {
            u -= p[at + v * step];
            if (u < 0) return v;
        }
        for (var v = n - 1; v > 0; v--)
            if (p[at + v * step] > 0) return v;
        return 0;
    }

    private double Uniform()
    {
        var z = _state += 0x9E3779B97F4A7C15;
        z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9;
        z = (z ^ (z >> 27)) * 0x94D049BB133111EB;
        return ((z ^ (z >> 31)) >> 11) * (1.0 / (1UL << 53));
    }

    private sealed class ByContent : IEqualityComparer<byte[]>
    {
        public bool Equals(byte[]? x, byte[]? y) => x.AsSpan().SequenceEqual(y);

        public int GetHashCode(byte[] x)
        {
            var h = new HashCode();
            h.AddBytes(x);
            return h.ToHashCode();
        }
    }
}
