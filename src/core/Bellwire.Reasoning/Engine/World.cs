using System.Collections.Immutable;
using System.Text;
using Bellwire.Reasoning.Diagram;

namespace Bellwire.Reasoning.Engine;

/// <summary>The hidden variables of one case and how events act on them. Grows as the log mentions new things;
/// shared by every weighing that continues the same case.</summary>
internal sealed class World
{
    private readonly Dictionary<int, Tie> _ties;
    private readonly Dictionary<int, SiteInfo> _stands;
    private readonly Dictionary<(int[], object, string, bool), Look> _looks;

    public World(Anatomy anatomy)
    {
        (_ties, _looks, _stands, Lock) = ([], [], [], new object());
        Anatomy = anatomy;
        Variables = new Variables(anatomy.Lanes);
        Functions = new Functions(Variables);
        Evidence = new Evidence(Functions);
        LoopMembers = [.. anatomy.Case.Family.Signals.Where(s => s.Loop)];
        var sits = ImmutableDictionary.CreateBuilder<(string, string), string>();
        foreach (var s in anatomy.Case.Systems)
            foreach (var (position, piece) in s.InitialPieces) sits[(s.Id, position)] = piece;
        Original = Origins.Of(anatomy, Variables, Functions);
        Start = new Moment(sits.ToImmutable(), Original, 0, anatomy.LanePrior, [], 0, 0);
    }

    /// <summary>The same world over a fresh store of evidence; everything else is shared.</summary>
    public World(World other, Evidence evidence)
    {
        (_ties, _looks, _stands, Lock, Bare) = (other._ties, other._looks, other._stands, other.Lock, other.Bare);
        (Anatomy, Variables, Functions, Evidence) = (other.Anatomy, other.Variables, other.Functions, evidence);
        (LoopMembers, Original, Start, Beforehand) = (other.LoopMembers, other.Original, other.Start, other.Beforehand);
    }

    /// <summary>Held while anything of this world is read or grown.</summary>
    public object Lock { get; }

    public Anatomy Anatomy { get; }
    public Variables Variables { get; }
    public Functions Functions { get; }
    public Evidence Evidence { get; }
    public ImmutableArray<SignalSpec> LoopMembers { get; }

    /// <summary>State of each site before the log begins.</summary>
    public int[] Original { get; }
    public Moment Start { get; }

    /// <summary>P(not good) of each site before the log begins, once asked for.</summary>
    public double[]? Beforehand { get; set; }

    /// <summary>For each site the function "its state", over a variable that stands for it; made when first asked for.</summary>
    public int[]? Bare { get; set; }

    /// <summary>A variable that stands for the state of a site in questions about fault sets. Nothing seen ever mentions it.</summary>
    public int StandIn(SiteInfo s)
    {
        var v = Variables.Get($"state {s.Ref}", KeyOf(s, 400_000), s.States, () => Variables.Same([.. Enumerable.Repeat(1.0 / s.States, s.States)]));
        _stands[v.Id] = s;
        return Functions.Of(v);
    }

    public SiteInfo? StoodFor(int variable) => _stands.GetValueOrDefault(variable);

    public static long KeyOf(SiteInfo s, int local) => ((long)s.Rank << 32) | ((long)s.Instance << 20) | (uint)local;
    public Tie? TieOf(int variable) => _ties.GetValueOrDefault(variable);
    public IEnumerable<Tie> Ties => _ties.Values.OrderBy(t => t.Order);

    public Look LookAt(Moment m, string system, Setting setting, bool trials)
    {
        var key = (m.Site, (object)m.Sits, system + "\n" + Describe.Of(setting), trials);
        if (!_looks.TryGetValue(key, out var look)) _looks[key] = look = new Look(this, m, system, setting, trials);
        return look;
    }

    /// <summary>Acts, but not observations: what the event makes of the pieces. <paramref name="index"/> is its place in time.</summary>
    public Moment Act(Moment m, CaseEvent e, int index)
    {
        switch (e)
        {
            case CaseEvent.Place p:
                var sits = m.Sits;
                if (p.Piece is not null)
                    foreach (var (at, piece) in m.Sits)
                        if (piece == p.Piece) sits = sits.Remove(at);
                sits = p.Piece is null ? sits.Remove((p.System, p.Position)) : sits.SetItem((p.System, p.Position), p.Piece);
                return Disturb(m with { Sits = sits }, p.System, p.Position, index);
            case CaseEvent.Reseat r: return Disturb(m, r.System, r.Position, index);
            case CaseEvent.Mend d:
                var site = Anatomy.Find(d.Site)!;
                var v = Variables.Get($"mend {d.Site} {d.Success:R} {index}", KeyOf(site, 500_000 - 16 * index), 2,
                    () => Variables.Same(1 - d.Success, d.Success));
                return With(m, site, Functions.IfThenElse(Functions.Of(v), Functions.Good, m.Site[site.Index]));
            case CaseEvent.PowerUp u: return PowerUp(m, u.System, u.Setting, index);
            default: return m;
        }
    }

    private static Moment With(Moment m, SiteInfo site, int f)
    {
        if (m.Site[site.Index] == f) return m;
        var all = (int[])m.Site.Clone();
        all[site.Index] = f;
        return m with { Site = all };
    }

    private Moment Disturb(Moment m, string system, string position, int index)
    {
        var spec = Anatomy.Position(position);
        if (spec.ContactSite is not { } contact || spec.RedrawChance <= 0) return m;
        var site = Anatomy.Find(SiteRef.OfPosition(system, position, contact))!;
        var n = site.States;
        var v = Variables.Get($"redraw {site.Ref} {index}", KeyOf(site, 500_000 - 16 * index), n + 1, () =>
        {
            var prior = Anatomy.Prior(site.Spec, site.Origin);
            var p = new double[(n + 1) * Variables.Lanes];
            p.AsSpan(0, Variables.Lanes).Fill(1 - spec.RedrawChance);
            for (var i = 0; i < prior.Length; i++) p[Variables.Lanes + i] = prior[i] * spec.RedrawChance;
            return p;
        });
        var f = Functions.Of(v);
        var drawn = Functions.Map(f, [0, .. Enumerable.Range(0, n)]);
        return With(m, site, Functions.IfThenElse(Functions.Is(f, 0, n + 1), m.Site[site.Index], drawn));
    }

    private Moment PowerUp(Moment m, string system, Setting setting, int index)
    {
        var look = LookAt(m, system, setting, trials: false);
        var after = m;
        foreach (var (site, strikes) in Strikes(m, look, system, index))
        {
            var struck = Functions.Good;
            for (var i = strikes.Count - 1; i >= 0; i--)
                struck = Functions.IfThenElse(strikes[i].Struck, ~strikes[i].Mode, struck);
            var now = m.Site[site.Index];
            after = With(after, site, Functions.IfThenElse(Functions.Is(now, 0, site.States), struck, now));
        }
        return after;
    }

    private List<(SiteInfo Site, List<(int Struck, int Mode)> Strikes)> Strikes(Moment m, Look look, string system, int index)
    {
        var all = new List<(SiteInfo Site, List<(int, int)> Strikes)>();
        foreach (var h in Anatomy.Case.Family.Hazards)
        {
            var site = Anatomy.SiteAt(system, h.Position, h.Site, m.PieceAt(system, h.Position));
            if (site is null || h.Chance <= 0) continue;
            var trigger = look.Holds(h.Trigger);
            if (trigger == Functions.False) continue;
            var at = all.FindIndex(x => x.Site == site);
            if (at < 0) at = all.Count;
            if (at == all.Count) all.Add((site, []));
            all[at].Strikes.Add((Struck(h, site, trigger, index), site.StateOf(h.Mode)));
        }
        return all;
    }

    /// <summary>The switch "this hazard strikes at this power-up".</summary>
    private int Struck(HazardSpec h, SiteInfo site, int trigger, int index)
    {
        var lot = h.EachTime
            ? Variables.Get($"lot {h.Id} {site.Ref} {index}", KeyOf(site, 500_002 - 16 * index), 2, () => Variables.Same(1 - h.Chance, h.Chance))
            : Variables.Get($"lot {h.Id} {site.Ref}", KeyOf(site, 610_000), 2, () => Variables.Same(1 - h.Chance, h.Chance));
        if (trigger == Functions.True) return Functions.Of(lot);
        var name = $"strike {h.Id} {site.Ref} {index} #{trigger}";
        var v = Variables.Get(name, KeyOf(site, 500_000 - 16 * index), 2, () => Variables.Same(0.5, 0.5));
        if (!_ties.ContainsKey(v.Id)) _ties[v.Id] = new Tie(_ties.Count, v, trigger, lot);
        return Functions.Of(v);
    }

    public Variable Trial(SiteInfo site, int mode)
    {
        var p = site.Spec.Modes[mode - 1].ShowsPerTrial;
        return Variables.Get($"trial {site.Ref} {mode}", KeyOf(site, 700_000 + 16 * mode), 2, () => Variables.Same(1 - p, p), trial: true);
    }

    public Variable Grade(SignalSpec s, RuleSpec r, string system, Moment m)
    {
        var (named, last) = Named(r.When, system, m);
        return Variables.Get($"grade {s.Id} {r.Id} {named}", last is null ? long.MaxValue >> 2 : KeyOf(last, 800_000), 2,
            () => Variables.Same(1 - r.Chance, r.Chance));
    }

    public Variable Other(SignalSpec s, RuleSpec r, string system, Moment m)
    {
        var (named, last) = Named(r.When, system, m);
        var n = s.States.Length;
        return Variables.Get($"other {s.Id} {named}", last is null ? long.MaxValue >> 2 : KeyOf(last, 900_000), n,
            () => Variables.Same([.. Enumerable.Repeat(1.0 / n, n)]));
    }

    /// <summary>The physical sites a rule names, and the one that comes last in the order; the system stands in for none.</summary>
    private (string Named, SiteInfo? Last) Named(Condition c, string system, Moment m)
    {
        var names = new SortedSet<string>(StringComparer.Ordinal);
        SiteInfo? last = null;
        foreach (var (position, site) in SiteOrder.Sites(c))
        {
            var info = Anatomy.SiteAt(system, position, site, m.PieceAt(system, position));
            names.Add(info?.Ref.ToString() ?? $"{system}/{position} empty");
            if (info is not null && (last is null || KeyOf(info, 0) > KeyOf(last, 0))) last = info;
        }
        return (names.Count == 0 ? system : new StringBuilder().AppendJoin(',', names).ToString(), last);
    }
}
