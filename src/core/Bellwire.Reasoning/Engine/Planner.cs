using System.Collections.Immutable;
using Bellwire.Reasoning.Diagram;

namespace Bellwire.Reasoning.Engine;

/// <summary>Values moves on drawn worlds: what is old is drawn, what a move brings new is summed exactly.</summary>
/// <param name="drawn">Worlds of equal weight to value moves on; null: they are drawn from the chain's own diagram.</param>
/// <param name="faulty">P(not good now) of each site; null: as the chain has it.</param>
internal sealed class Planner(Chain chain, Lots? drawn = null, double[]? faulty = null)
{
    private const int Most = 300_000;
    private const int Leaders = 64;

    /// <summary>Worlds drawn to find the likeliest fault sets; their probabilities are then reckoned exactly.</summary>
    private const int Candidates = 400;
    private readonly World _world = chain.World;
    private readonly Dictionary<string, (Moment After, ImmutableDictionary<SiteRef, double> Kills)> _done = [];
    private Lots? _lots = drawn;
    private double[]? _faulty = faulty;

    internal Lots Drawn => _lots ??= new Lots(chain, chain.Options.Samples, chain.Options.Seed);

    /// <summary>The move's value; nothing told and nothing risked when its look would take more nodes than <see cref="Most"/>.</summary>
    public MoveValue Value(Move move)
    {
        var f = _world.Functions;
        var before = f.Ceiling;
        f.Ceiling = Math.Min(before, f.Count + Most);
        try { return Valued(move); }
        catch (DiagramTooLargeException)
        {
            return new MoveValue(move.Id, 0, ImmutableDictionary<string, double>.Empty, ImmutableDictionary<SiteRef, double>.Empty, ImmutableDictionary<string, ImmutableArray<(SiteRef, double, double)>>.Empty, 0) { GivenUp = true };
        }
        finally { f.Ceiling = before; }
    }

    private MoveValue Valued(Move move)
    {
        var lots = Drawn;
        var (after, kills) = Carry(move, chain.Last, "");
        var (chance, ids) = Shows(move, after);
        var (bits, error, outcomes) = Information(lots, chance, ids.Count);
        return new MoveValue(move.Id, bits, ids.Select((o, i) => (o, i)).ToImmutableDictionary(x => x.o, x => outcomes[x.i]), kills,
            ids.Select((o, i) => (o, i)).ToImmutableDictionary(x => x.o, x => After(lots, chance, ids.Count, x.i, outcomes[x.i])), error);
    }

    /// <summary>What the move would show in each drawn world were the sites as <paramref name="from"/> has them: [world × outcomes + outcome], the outcomes
    /// in ordinal order. Null when its look would take more nodes than <see cref="Most"/>.</summary>
    /// <param name="under">Names <paramref name="from"/>: moves tried from it share what they share.</param>
    public double[]? Shows(Move move, Moment from, string under)
    {
        var f = _world.Functions;
        var before = f.Ceiling;
        f.Ceiling = Math.Min(before, f.Count + Most);
        try { return Shows(move, Carry(move, from, under).Item1).Chance; }
        catch (DiagramTooLargeException) { return null; }
        finally { f.Ceiling = before; }
    }

    private (double[] Chance, List<string> Ids) Shows(Move move, Moment after)
    {
        var lots = Drawn;
        var (f, names) = Target(_world, after, move);
        var states = new double[names.Count];
        var ids = move.Outcomes.Keys.Order(StringComparer.Ordinal).ToList();
        var tables = ids.Select(o => names.Select(s => move.Outcomes[o].GetValueOrDefault(s)).ToArray()).ToList();
        var chance = new double[lots.Count * ids.Count];
        for (var i = 0; i < lots.Count; i++)
        {
            Array.Clear(states);
            lots.Spread(f, i, 1, states);
            for (var o = 0; o < ids.Count; o++)
                for (var s = 0; s < names.Count; s++) chance[i * ids.Count + o] += states[s] * tables[o][s];
        }
        return (chance, ids);
    }

    /// <summary>Acts out swaps and power-up. Moves that share them share the result.</summary>
    private (Moment, ImmutableDictionary<SiteRef, double>) Carry(Move move, Moment from, string under)
    {
        var key = $"{under}|{move.System}|{string.Join(",", move.Swaps)}|{move.PowersUp}|{(move.PowersUp ? Describe.Of(move.Setting) : "")}";
        if (_done.TryGetValue(key, out var known)) return known;
        var m = from;
        var index = chain.Links.Count + 1;
        foreach (var (position, piece) in move.Swaps)
            m = _world.Act(m, new CaseEvent.Place("", move.System, position, piece), index++);
        var before = m;
        var kills = ImmutableDictionary.CreateBuilder<SiteRef, double>();
        if (move.PowersUp)
        {
            m = _world.Act(m, new CaseEvent.PowerUp("", move.System, move.Setting), index);
            var site = (int[])m.Site.Clone();
            Span<double> p = stackalloc double[2];
            foreach (var s in _world.Anatomy.Sites)
            {
                if (m.Site[s.Index] == before.Site[s.Index]) continue;
                site[s.Index] = Fresh(m.Site[s.Index]);
                var dies = _world.Functions.And(_world.Functions.Is(before.Site[s.Index], 0, s.States), _world.Functions.Not(_world.Functions.Is(site[s.Index], 0, s.States)));
                p.Clear();
                for (var i = 0; i < Drawn.Count; i++) Drawn.Spread(dies, i, 1.0 / Drawn.Count, p);
                if (p[1] > 0) kills[s.Ref] = p[1];
            }
            m = m with { Site = site };
        }
        return _done[key] = (m, kills.ToImmutable());
    }

    /// <summary>Switches made by this very move are written out; older ones were drawn.</summary>
    private int Fresh(int f)
    {
        while (true)
        {
            Tie? latest = null;
            foreach (var v in _world.Functions.Support(f))
                if (v >= Drawn.Known && _world.TieOf(v) is { } t && (latest is null || t.Order > latest.Order)) latest = t;
            if (latest is null) return f;
            var fired = _world.Functions.And(_world.Functions.Of(latest.Lot), latest.Trigger);
            f = _world.Functions.IfThenElse(fired, _world.Functions.Hold(f, latest.Switch, 1), _world.Functions.Hold(f, latest.Switch, 0));
        }
    }

    public static (int F, IReadOnlyList<string> States) Target(World world, Moment m, Move move)
    {
        switch (move.Target)
        {
            case Target.OfSignal s:
                return (world.LookAt(m, move.System, move.Setting, trials: true).Signal(s.Signal), world.Anatomy.Signal(s.Signal).States);
            case Target.OfSite s:
                var site = world.Anatomy.Find(s.Site)!;
                return (m.Site[site.Index], [.. Enumerable.Range(0, site.States).Select(site.StateName)]);
            case Target.OfTroubles t: return (world.LookAt(m, move.System, move.Setting, trials: true).Troubles(t), t.States);
            default: throw new ArgumentException($"Move '{move.Id}' asks for {Describe.Of(move.Target)}; a move can ask a signal, a site or the troubles of a circuit.", nameof(move));
        }
    }

    /// <summary>H(O) − mean over fault sets x of H(O | x), with its standard error from ten parts.</summary>
    private static (double Bits, double Error, double[] Outcomes) Information(Lots lots, double[] chance, int n)
    {
        var groups = new double[lots.Groups * n];
        var size = new int[lots.Groups];
        var all = new double[n];
        for (var i = 0; i < lots.Count; i++)
        {
            size[lots.Group[i]]++;
            for (var o = 0; o < n; o++)
            {
                groups[lots.Group[i] * n + o] += chance[i * n + o];
                all[o] += chance[i * n + o] / lots.Count;
            }
        }
        double h = 0, spread = 0;
        foreach (var p in all) h += Term(p);
        var prior = h;
        double within = 0;
        for (var g = 0; g < lots.Groups; g++)
        {
            double own = 0;
            for (var o = 0; o < n; o++) own += Term(groups[g * n + o] / size[g]);
            within += own * size[g] / lots.Count;
            spread += own * own * size[g] / lots.Count;
        }
        // Spread of −log p(o) about H(O), and of H(O | x) about its mean.
        double second = 0;
        foreach (var p in all)
            if (p > 0) second += p * Math.Log2(p) * Math.Log2(p);
        var variance = Math.Max(0, second - prior * prior) + Math.Max(0, spread - within * within);
        return (Math.Max(0, prior - within), Math.Sqrt(variance / lots.Count), all);
    }

    private ImmutableArray<(SiteRef, double, double)> After(Lots lots, double[] chance, int n, int o, double outcome)
    {
        if (outcome <= 1e-6) return [];
        var sites = _world.Anatomy.Sites;
        _faulty ??= Beliefs.Faulty(chain);
        var then = new double[sites.Count];
        for (var i = 0; i < lots.Count; i++)
            foreach (var s in lots.Faults[i]) then[s] += chance[i * n + o];
        // The drawn share is taken off the change, so that a site the outcome does not touch does not seem to move.
        for (var s = 0; s < then.Length; s++)
            then[s] = Math.Clamp(_faulty[s] + then[s] / (lots.Count * outcome) - lots.Share[s], 0, 1);
        return [.. Enumerable.Range(0, then.Length).Where(s => Math.Abs(then[s] - _faulty[s]) > 0.001)
            .OrderByDescending(s => Math.Abs(then[s] - _faulty[s])).Take(Leaders).Select(s => (sites[s].Ref, _faulty[s], then[s]))];
    }

    private static double Term(double p) => p > 0 ? -p * Math.Log2(p) : 0;

    public ImmutableArray<FaultSet> MostProbable(int most)
    {
        var lots = new Lots(chain, Math.Min(chain.Options.Samples, Candidates), chain.Options.Seed);
        var counts = new int[lots.Groups];
        var first = new int[lots.Groups];
        for (var i = lots.Count - 1; i >= 0; i--)
        {
            counts[lots.Group[i]]++;
            first[lots.Group[i]] = i;
        }
        var candidates = Enumerable.Range(0, lots.Groups).OrderByDescending(g => counts[g]).ThenBy(g => first[g]).Take(most + 4).Select(g => lots.States[first[g]]).ToList();
        if (!candidates.Any(x => x.All(s => s == 0))) candidates.Add(new byte[_world.Anatomy.Sites.Count]);
        var sites = _world.Anatomy.Sites;
        return [.. candidates.Zip(Beliefs.Joint(chain, candidates), (x, p) => (x, p)).OrderByDescending(x => x.p)
            .Select(x => new FaultSet([.. sites.Where(s => x.x[s.Index] != 0).Select(s => (s.Ref, s.StateName(x.x[s.Index])))], x.p))];
    }
}
