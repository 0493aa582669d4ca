using Bellwire.Reasoning.Diagram;

namespace Bellwire.Reasoning.Engine;

/// <summary>One event reckoned: what stood after it.</summary>
/// <param name="Text">Canonical text of the event, to find the common prefix of two logs.</param>
/// <param name="LogPredictive">ln p(what was seen | everything before); 0 for acts.</param>
/// <param name="Expected">Predictive expectation of −LogPredictive over the outcomes the check could have had, in nats.</param>
internal sealed record Link(string Text, Moment After, double LogPredictive, double Expected)
{
    /// <summary>What was read and how it weighs, when a diagram was multiplied by it; table null otherwise.</summary>
    public (int F, double[]? Table) Seen { get; init; }

    /// <summary>P(not good now) of each site, once asked for.</summary>
    public double[]? Faulty { get; set; }

    /// <summary>Whether anything was cut, blurred or left to lots up to here.</summary>
    public bool Cut { get; set; }
}

/// <summary>The log reckoned event by event. Roots are immutable and kept, so a longer or altered log goes on from the
/// last event the two share.</summary>
/// <param name="options">The limits in force, perhaps wider than those asked for.</param>
/// <param name="asked">The limits the caller gave.</param>
/// <param name="blur">Otherwise than None, what the budget cannot hold is blurred, not cut. The diagram is then a proposal to draw from, no answer.</param>
internal sealed class Chain(World world, WeighOptions options, double allowance, WeighOptions asked, Blur blur = Blur.None)
{
    /// <summary>Cutting makes nodes alike, but not by so much: more than this times the budget, and the cut would not reach it.</summary>
    private const double Hopeless = 1.5;

    /// <summary>Worlds drawn to weigh a look that no diagram took up.</summary>
    private const int LotsForOne = 400;

    public bool Blurs => blur != Blur.None;

    /// <summary>The same log blurred in another way, so that between them they miss less; null unless this one blurs.</summary>
    public Chain? Partner { get; set; }

    /// <summary>P(not good) of each site after each event of the same log, as reckoned when those entries were new; they stand, whatever is
    /// made of later ones.</summary>
    public IReadOnlyList<double[]?> Past { get; init; } = [];

    public WeighOptions Asked => asked;
    public World World { get; } = Within(world, options);
    public WeighOptions Options => options;
    public double Allowance => allowance;
    public List<Link> Links { get; } = [];
    public bool Cut { get; private set; }

    /// <summary>The event after the last link outgrew even the smallest blurred diagram.</summary>
    public bool Outgrown { get; set; }
    public Moment Last => Links.Count == 0 ? world.Start : Links[^1].After;
    private Sweep? _sweep;

    /// <summary>Marginals of all sites as the chain stands, once asked for.</summary>
    public double[][]? Now { get; set; }

    /// <summary>Worlds drawn from the evidence as it stands, where something is too large to be walked.</summary>
    public Lots Worlds => _worlds is { } w && ReferenceEquals(w.Of, Last) ? w.Lots : (_worlds = (Last, new Lots(this, options.Samples, options.Seed + 17))).Value.Lots;
    private (Moment Of, Lots Lots)? _worlds;

    /// <summary>The pass over the evidence as it stands.</summary>
    public Sweep Sweep => _sweep ??= new Sweep(world.Evidence, world.Functions, Last.Root, Last.LaneWeights);

    private static World Within(World world, WeighOptions options)
    {
        world.Functions.WalkNumbers = options.WalkNumbers;
        return world;
    }

    /// <summary>Marks a log that could not be reckoned to its end: what stands is not to be trusted.</summary>
    public void GiveUp() => Cut = true;

    /// <summary>In words, when some figure was too large to be walked and is a share of drawn worlds; null otherwise.</summary>
    public string? Shares => _worlds is null ? null : FormattableString.Invariant($"Some figures were too large to be walked: they are shares of {options.Samples} drawn worlds, ± {0.5 / Math.Sqrt(options.Samples):0.000} at worst (one standard error).");

    public Chain Fork(int events)
    {
        var whole = events == Links.Count;
        var c = new Chain(world, options, allowance, asked, blur) { Cut = whole ? Cut : events > 0 && Links[events - 1].Cut, Partner = Partner?.Fork(Math.Min(events, Partner.Links.Count)) };
        c.Links.AddRange(Links.Take(events));
        if (whole) (c._sweep, c.Now, c._worlds) = (_sweep, Now, _worlds);
        return c;
    }

    /// <summary>The same chain with the litter of past operations left behind.</summary>
    public Chain Swept()
    {
        var (store, moved) = world.Evidence.Copy(Links.Select(l => l.After.Root));
        var c = new Chain(new World(world, store), options, allowance, asked, blur) { Cut = Cut, Partner = Partner?.Swept(), Past = Past };
        c.Links.AddRange(Links.Select(l => l with { After = l.After with { Root = moved[l.After.Root] } }));
        return c;
    }

    /// <summary>Reckons one more event. False when it cannot have happened.</summary>
    public bool Add(CaseEvent e, string text, int index)
    {
        Now = null;
        if (e is not CaseEvent.Observe o) Links.Add(new Link(text, world.Act(Last, e, index), 0, 0));
        else if (!(o.Target is Target.OfCause cause ? Story(o, cause, text) : See(o, text))) return false;
        Links[^1].Cut = Cut;
        return true;
    }

    private bool Story(CaseEvent.Observe o, Target.OfCause cause, string text)
    {
        var m = Last;
        double yes = o.Likelihood.GetValueOrDefault("yes"), no = o.Likelihood.GetValueOrDefault("no");
        double p = 0, on = 0;
        for (var l = 0; l < Sweep.Lane.Length; l++)
        {
            var works = world.Anatomy.Works(cause.Cause, l);
            p += Sweep.Lane[l] * (works ? yes : no);
            if (works) on += Sweep.Lane[l];
        }
        if (!(p > 0)) return false;
        var lanes = m.LaneWeights.Select((w, l) => w * (world.Anatomy.Works(cause.Cause, l) ? yes : no)).ToArray();
        Links.Add(new Link(text, m with { LaneWeights = lanes, LogEvidence = m.LogEvidence + Math.Log(p), Lost = Carry(m.Lost, Math.Max(yes, no), p) },
            Math.Log(p), Expected(o, [on, 1 - on], s => s == 0 ? "yes" : "no")));
        _sweep = null;
        return true;
    }

    private bool See(CaseEvent.Observe o, string text)
    {
        var m = Last;
        var (f, table) = Target(m, o);
        for (var attempt = 0; ; attempt++)
        {
            var before = world.Evidence.Count;
            world.Evidence.Ceiling = options.NodeBudget == int.MaxValue ? int.MaxValue : before + 40 * options.NodeBudget + 100_000;
            try
            {
                var (bound, set) = Binder.Bind(world, new Edge(1, m.Root), f, m.Bound);
                if (bound.Node != m.Root)
                {
                    m = m with { Root = bound.Node, Bound = set };
                    _sweep = new Sweep(world.Evidence, world.Functions, m.Root, m.LaneWeights);
                    m = Slim(m);
                }
                else m = m with { Bound = set };
                var states = (_sweep ??= new Sweep(world.Evidence, world.Functions, m.Root, m.LaneWeights)).Of(f, table.Length);
                double p = 0;
                for (var s = 0; s < table.Length; s++) p += states[s] * table[s];
                if (!(p > 0)) return false;
                var seen = world.Evidence.Multiply(new Edge(1, m.Root), f, table);
                if (seen.Weight == 0) return false;
                m = m with { Root = seen.Node, LogEvidence = m.LogEvidence + Math.Log(p), Lost = Carry(m.Lost, table.Max(), p) };
                if (seen.Node != _sweep.Root) _sweep = new Sweep(world.Evidence, world.Functions, m.Root, m.LaneWeights);
                if (!(_sweep.Total > 0)) return false;
                Links.Add(new Link(text, Slim(m), Math.Log(p), Expected(o, states, NameOf(o))) { Seen = (f, table) });
                return true;
            }
            catch (DiagramTooLargeException) when (Blurs && attempt == 2)
            {
                world.Evidence.TakeBack(before);
                Links.Add(LeftToLots(o, text, f, table));
                return true;
            }
            catch (DiagramTooLargeException) when (attempt < 2)
            {
                // One look grew past all bounds: cut deeper before it and try again. Cutting makes nodes too, though few.
                world.Evidence.Ceiling = int.MaxValue;
                world.Evidence.TakeBack(before);
                m = Last;
                _sweep = new Sweep(world.Evidence, world.Functions, m.Root, m.LaneWeights);
                m = CutDown(m, attempt == 0 ? 1e-4 : 2e-3);
            }
            finally { world.Evidence.Ceiling = int.MaxValue; }
        }
    }

    /// <summary>A look that a diagram to draw from cannot hold is not multiplied in: the worlds drawn are weighed by it all the same, and only
    /// their effective size pays. How it weighs among the entries is read off some drawn worlds.</summary>
    private Link LeftToLots(CaseEvent.Observe o, string text, int f, double[] table)
    {
        var m = Last;
        Cut = true;
        _sweep = new Sweep(world.Evidence, world.Functions, m.Root, m.LaneWeights);
        var lots = new Lots(this, LotsForOne, options.Seed + (ulong)Links.Count);
        var states = new double[table.Length];
        for (var i = 0; i < lots.Count; i++) lots.Spread(f, i, 1.0 / lots.Count, states);
        double p = 0, apart = 0;
        for (var s = 0; s < table.Length; s++) p += states[s] * table[s];
        p = Math.Max(p, 0.5 / LotsForOne * table.Max());
        // How far the odds with the look stand from those without it, in total variation.
        for (var s = 0; s < table.Length; s++) apart += 0.5 * states[s] * Math.Abs(table[s] / p - 1);
        return new(text, m with { LogEvidence = m.LogEvidence + Math.Log(p), Lost = Math.Min(1, m.Lost + apart) }, Math.Log(p), Expected(o, states, NameOf(o))) { Seen = (f, table) };
    }

    private (int F, double[] Table) Target(Moment m, CaseEvent.Observe o)
    {
        if (o.Target is Target.OfSite t)
        {
            var site = world.Anatomy.Find(t.Site)!;
            return (m.Site[site.Index], [.. Enumerable.Range(0, site.States).Select(s => o.Likelihood.GetValueOrDefault(site.StateName(s)))]);
        }
        if (o.Target is Target.OfTroubles all)
            return (world.LookAt(m, o.System, o.Setting, trials: true).Troubles(all), [.. all.States.Select(s => o.Likelihood.GetValueOrDefault(s))]);
        var id = ((Target.OfSignal)o.Target).Signal;
        var f = world.LookAt(m, o.System, o.Setting, trials: true).Signal(id);
        return (f, [.. world.Anatomy.Signal(id).States.Select(s => o.Likelihood.GetValueOrDefault(s))]);
    }

    private Moment Slim(Moment m)
    {
        var a = allowance;
        for (var i = 0; i < 3 && _sweep!.Nodes > options.NodeBudget; i++, a *= 8)
        {
            // A step that plainly would not do is taken together with the next.
            var all = a;
            var sorted = Pruner.Sorted(_sweep);
            for (; i < 2 && Pruner.Kept(_sweep, sorted, all) > Hopeless * options.NodeBudget; i++) all += a *= 8;
            m = CutDown(m, all);
        }
        return m;
    }

    private Moment CutDown(Moment m, double share)
    {
        var (root, lost) = Pruner.Prune(world.Evidence, _sweep!, share, blur);
        Cut = true;
        _sweep = new Sweep(world.Evidence, world.Functions, root.Node, m.LaneWeights);
        return m with { Root = root.Node, Lost = Math.Min(1, m.Lost + lost) };
    }

    /// <summary>Mass once cut might have explained what is seen now better than what was kept.</summary>
    private double Carry(double lost, double best, double p) => Blurs ? lost : Math.Min(1, lost * best / p);

    /// <summary>Expectation of −ln p over the outcomes the check could have had, given the chances of what it reads.</summary>
    private static double Expected(CaseEvent.Observe o, double[] states, Func<int, string> name)
    {
        if (o.Outcomes.IsEmpty) return Entropy(states);
        var p = new double[o.Outcomes.Length];
        for (var s = 0; s < states.Length; s++)
            for (var k = 0; k < p.Length; k++) p[k] += states[s] * o.Outcomes[k].GetValueOrDefault(name(s));
        var all = p.Sum();
        if (!(all > 0)) return 0;
        var expected = Entropy([.. p.Select(x => x / all)]);
        for (var k = 0; k < o.Alike.Length; k++) expected += p[k] / all * Math.Log(o.Alike[k]);
        return expected;
    }

    private Func<int, string> NameOf(CaseEvent.Observe o)
    {
        if (o.Target is Target.OfSite t) return world.Anatomy.Find(t.Site)!.StateName;
        var states = o.Target is Target.OfTroubles all ? all.States : world.Anatomy.Signal(((Target.OfSignal)o.Target).Signal).States;
        return s => states[s];
    }

    private static double Entropy(double[] p)
    {
        double h = 0;
        foreach (var x in p)
            if (x > 0) h -= x * Math.Log(x);
        return h;
    }
}
