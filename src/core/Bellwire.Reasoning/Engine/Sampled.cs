using Bellwire.Reasoning.Diagram;

namespace Bellwire.Reasoning.Engine;

/// <summary>Worlds drawn from a blurred diagram and weighed by how far the true likelihood differs from the blurred one: importance
/// sampling (Owen, "Monte Carlo theory, methods and examples", 2013, chapter 9: self-normalised weights, effective size, mixture
/// proposals, control variates). Half of the worlds are drawn from the chain, half from its partner, blurred in another way.
/// What the chain's diagram says exactly of itself is the control variate, so only the blurred part is left to chance.</summary>
internal sealed class Sampled
{
    /// <summary>Rounds at most, of two batches each.</summary>
    private const int MostRounds = 12;

    /// <summary>Worlds a batch: a first round has as many as are wanted to answer what-ifs.</summary>
    private readonly int _each;
    private readonly Chain _chain;
    private readonly List<Lots> _batches = [];
    private readonly List<(double Log, double V)[]> _drawn = [];
    private readonly int[] _first;
    private readonly Sums[] _sums;
    private Sums _all;

    public Sampled(Chain chain, CancellationToken ct)
    {
        _chain = chain;
        _each = Math.Max(50, chain.Asked.Samples / 2);
        var looks = chain.Links.Where(l => l.Seen.Table is not null).Select(l => (l.Seen.F, Table: l.Seen.Table!)).ToArray();
        var ties = chain.World.Ties.Where(t => chain.Last.Bound.Contains(t.Switch.Id) || chain.Partner!.Last.Bound.Contains(t.Switch.Id)).ToArray();
        var sites = chain.World.Anatomy.Sites;
        var now = Beliefs.Now(chain);
        _first = new int[sites.Count];
        for (var s = 1; s < _first.Length; s++) _first[s] = _first[s - 1] + sites[s - 1].States;
        _sums = new Sums[_first[^1] + sites[^1].States];
        for (var round = 0; round < MostRounds && !(Worst < Math.Max(chain.Asked.WantedError, 0.101 * Blurred)); round++)
        {
            foreach (var from in new[] { chain, chain.Partner! })
            {
                var lots = new Lots(from, _each, chain.Options.Seed + 7919 * (ulong)_batches.Count);
                var drawn = new (double, double)[_each];
                for (var i = 0; i < _each; i++)
                {
                    if ((i & 127) == 0) ct.ThrowIfCancellationRequested();
                    drawn[i] = Weigh(lots, i, looks, ties);
                }
                _batches.Add(lots);
                _drawn.Add(drawn);
            }
            Settle();
            if (Size > 0) Worst = sites.Max(s => Site(s.Index, 0, now[s.Index][0]).Error);
        }
    }

    /// <summary>Shares of the odds that were blurred along the log, added up.</summary>
    public double Blurred => _chain.Last.Lost;

    public int Count => _batches.Count * _each;

    /// <summary>(Σw)² / Σw², never more than the worlds drawn; 0 when none of them explains what was seen.</summary>
    public double Size { get; private set; }

    /// <summary>Largest standard error of P(not good now) of a site.</summary>
    public double Worst { get; private set; } = double.PositiveInfinity;

    /// <summary>ln p of everything seen, and the standard error of that logarithm.</summary>
    public (double Log, double Error) Evidence =>
        (Offset + Math.Log(_all.U / Count), Math.Sqrt(Math.Max(0, _all.UU * Count / (_all.U * _all.U) - 1) / Count));

    public IReadOnlyList<Lots> Batches => _batches;
    private double Offset { get; set; }

    /// <summary>Posterior probability that a site is in a state now, with its standard error.</summary>
    /// <param name="blurred">What the blurred diagram says of it, exactly.</param>
    public (double P, double Error) Site(int site, int state, double blurred)
    {
        if (state != 0) return Share(_sums[_first[site] + state], blurred);
        var bad = new Sums();
        for (var k = 1; k < (site + 1 < _first.Length ? _first[site + 1] : _sums.Length) - _first[site]; k++) bad += _sums[_first[site] + k];
        var (p, error) = Share(bad, 1 - blurred);
        return (1 - p, error);
    }

    /// <summary>Posterior probability of an event with its standard error.</summary>
    /// <param name="holds">Whether the event holds in a world.</param>
    /// <param name="blurred">What the blurred diagram says of it, exactly.</param>
    public (double P, double Error) Share(Func<Lots, int, bool> holds, double blurred)
    {
        var sums = new Sums();
        for (var b = 0; b < _batches.Count; b++)
            for (var i = 0; i < _each; i++)
                if (holds(_batches[b], i)) sums += Sums.Of(W(b, i), _drawn[b][i].V);
        return Share(sums, blurred);
    }

    private (double P, double Error) Share(Sums one, double blurred)
    {
        // u: true odds over odds of drawing; v: blurred odds over odds of drawing. Both have mean one (u after scaling).
        // Estimate Σuf/Σu less k times the control v(f − q), whose mean is nought; k as makes the residual u(f − p) − k·v(f − q) least.
        double n = Count, scale = n / _all.U, q = Math.Clamp(blurred, 0, 1);
        one = one.Scaled(scale);
        var none = _all.Scaled(scale) - one;
        var p = one.U / n;
        var control = (one.V * (1 - q) - none.V * q) / n;
        var spread = one.VV * (1 - q) * (1 - q) + none.VV * q * q;
        var k = spread > 0 && one.U > 0 ? Math.Clamp((one.UV * (1 - p) * (1 - q) + none.UV * p * q) / spread, 0, 1) : 1;
        var better = Math.Clamp(p - k * control, 0, 1);
        var residual = Square(one, 1 - better, k * (1 - q)) + Square(none, -better, -k * q);
        // An event that hardly any world drawn shows may still be there: it is given the spread that weights have altogether.
        // What was blurred away may have been drawn too seldom to show in any spread: a tenth of it (an estimate; perf/results) stands as the least error, and
        // nothing is called surer than one world more or less would leave it.
        var unseen = Square(_all.Scaled(scale), 1, 1) * q * (1 - q);
        var least = q is 0 or 1 && (one.U == 0 || none.U == 0) ? 0 : Math.Max(1 / n, 0.1 * Blurred);
        return (better, Math.Max(least, Math.Sqrt(Math.Max(0, Math.Max(residual, unseen))) / n));

        // Σ (a·u − b·v)²
        static double Square(Sums s, double a, double b) => a * a * s.UU - 2 * a * b * s.UV + b * b * s.VV;
    }

    /// <summary>As many worlds as wanted, all of equal weight: each stands in as often as its weight demands.</summary>
    public Lots Even(int wanted)
    {
        var picks = new List<(int, int)>(wanted);
        double step = _all.U / wanted, next = step / 2, sum = 0;
        for (var b = 0; b < _batches.Count; b++)
            for (var i = 0; i < _each; i++)
                for (sum += W(b, i); next < sum && picks.Count < wanted; next += step) picks.Add((b, i));
        while (picks.Count < wanted) picks.Add(picks[^1]);
        return new Lots(_chain, _batches, picks);
    }

    /// <summary>Weight of a world, any scale.</summary>
    public double W(int batch, int world) => Math.Exp(_drawn[batch][world].Log - Offset);

    /// <summary>ln of true odds over odds of drawing, and blurred odds over odds of drawing.</summary>
    private (double Log, double V) Weigh(Lots lots, int i, (int F, double[] Table)[] looks, Tie[] ties)
    {
        // ln of the odds that each of the two diagrams gives the world over its prior odds; those cancel from all that follows.
        var other = _chain.Partner!;
        double own = lots.LogOf(_chain.Sweep, i) - Math.Log(_chain.Sweep.Total), its = lots.LogOf(other.Sweep, i) - Math.Log(other.Sweep.Total);
        // A switch that only one of the two has tied is drawn as tied from the other: there it is certain, and not evens.
        own += Math.Log(2) * ties.Count(t => !_chain.Last.Bound.Contains(t.Switch.Id));
        its += Math.Log(2) * ties.Count(t => !other.Last.Bound.Contains(t.Switch.Id));
        var most = Math.Max(own, its);
        var mix = most + Math.Log(0.5 * Math.Exp(own - most) + 0.5 * Math.Exp(its - most));
        var v = Math.Exp(own - mix);
        var log = -mix;
        foreach (var t in ties)
        {
            var fired = lots.Value(_chain.World.Functions.Of(t.Lot), i) == 1 && lots.Value(t.Trigger, i) == 1;
            if (fired != (lots.Value(_chain.World.Functions.Of(t.Switch), i) == 1)) return (double.NegativeInfinity, v);
            log += Math.Log(2);
        }
        var longest = looks.Length == 0 ? 0 : looks.Max(l => l.Table.Length);
        Span<double> states = longest <= 256 ? stackalloc double[256] : new double[longest];
        foreach (var (f, table) in looks)
        {
            var n = table.Length;
            states[..n].Clear();
            lots.Spread(f, i, 1, states[..n]);
            double p = 0;
            for (var s = 0; s < n; s++) p += states[s] * table[s];
            if (p <= 0) return (double.NegativeInfinity, v);
            log += Math.Log(p);
        }
        return (log, v);
    }

    private void Settle()
    {
        Offset = _drawn.Max(x => x.Max(y => y.Log));
        _all = new Sums();
        Array.Clear(_sums);
        if (double.IsNegativeInfinity(Offset)) return;
        for (var b = 0; b < _batches.Count; b++)
            for (var i = 0; i < _each; i++)
            {
                var one = Sums.Of(W(b, i), _drawn[b][i].V);
                _all += one;
                foreach (var s in _batches[b].Faults[i]) _sums[_first[s] + _batches[b].States[i][s]] += one;
            }
        Size = _all.U * _all.U / _all.UU;
    }

    private readonly record struct Sums(double U, double UU, double V, double VV, double UV)
    {
        public static Sums Of(double u, double v) => new(u, u * u, v, v * v, u * v);
        public Sums Scaled(double u) => new(U * u, UU * u * u, V, VV, UV * u);
        public static Sums operator +(Sums a, Sums b) => new(a.U + b.U, a.UU + b.UU, a.V + b.V, a.VV + b.VV, a.UV + b.UV);
        public static Sums operator -(Sums a, Sums b) => new(a.U - b.U, a.UU - b.UU, a.V - b.V, a.VV - b.VV, a.UV - b.UV);
    }
}
