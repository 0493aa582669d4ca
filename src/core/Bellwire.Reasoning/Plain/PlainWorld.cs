namespace Bellwire.Reasoning.Plain;

/// <summary>Chooses the value of a hidden variable; called once for each key in one world.</summary>
internal delegate int Draw(string key, double[] chances);

/// <summary>One explicit world: every hidden variable has one value, and the log is acted out in it, event by event.
/// This is the judge's own evaluator. The engine never calls it and it calls nothing of the engine's.</summary>
internal sealed class PlainWorld
{
    public const int LoopCap = 12;
    private readonly Case _case;
    private readonly Family _family;
    private readonly Draw _draw;
    private readonly Dictionary<string, int> _drawn = [];
    private readonly Dictionary<string, string> _now = [];
    private readonly Dictionary<string, string> _original = [];
    private readonly Dictionary<(string System, string Position), string> _sits = [];
    private readonly string? _home;
    private int _observations;

    public PlainWorld(Case c, Draw draw)
    {
        (_case, _family, _draw) = (c, c.Family, draw);
        _home = c.Systems.Select(s => s.Origin).FirstOrDefault(o => o is not null);
        foreach (var s in c.Systems)
            foreach (var (position, piece) in s.InitialPieces.OrderBy(p => p.Key, StringComparer.Ordinal))
                _sits[(s.Id, position)] = piece;
        foreach (var p in c.Pieces)
        {
            var sites = _family.Kinds.First(k => k.Id == p.Kind).Sites;
            Carrier(sites, p.Origin, p.Trust, site => SiteRef.OfPiece(p.Id, site));
        }
        foreach (var s in c.Systems)
            foreach (var p in _family.Positions)
                Carrier(p.Sites, s.Origin, s.PositionTrust, site => SiteRef.OfPosition(s.Id, p.Id, site));
    }

    public IReadOnlyDictionary<string, string> Now => _now;
    public IReadOnlyDictionary<string, string> Original => _original;

    /// <summary>True when the cause is at work; asked of any origin, drawn at first mention.</summary>
    public bool Cause(string origin, string cause)
    {
        var name = origin == _home ? cause : origin + "/" + cause;
        if (_case.KnownCauses.TryGetValue(name, out var known)) return known;
        var prior = _family.Causes.First(c => c.Id == cause).Prior;
        return Pick("cause " + name, [1 - prior, prior]) == 1;
    }

    public bool CauseNamed(string name)
    {
        var slash = name.IndexOf('/', StringComparison.Ordinal);
        return slash < 0 ? _home is not null ? Cause(_home, name) : Known(name) : Cause(name[..slash], name[(slash + 1)..]);
    }

    /// <summary>Acts out one event and returns the likelihood of what was seen (1 for acts).</summary>
    public double Act(CaseEvent e, int index)
    {
        switch (e)
        {
            case CaseEvent.Place p:
                foreach (var at in _sits.Where(x => x.Value == p.Piece).Select(x => x.Key).ToList()) _sits.Remove(at);
                if (p.Piece is null) _sits.Remove((p.System, p.Position));
                else _sits[(p.System, p.Position)] = p.Piece;
                Disturb(p.System, p.Position, index);
                return 1;
            case CaseEvent.Reseat r:
                Disturb(r.System, r.Position, index);
                return 1;
            case CaseEvent.Mend m:
                if (_now[m.Site.ToString()] != "good" && Pick("mend " + index, [1 - m.Success, m.Success]) == 1)
                    _now[m.Site.ToString()] = "good";
                return 1;
            case CaseEvent.PowerUp u:
                PowerUp(u, index);
                return 1;
            case CaseEvent.Observe o:
                return o.Likelihood.GetValueOrDefault(Read(o.System, o.Setting, o.Target));
            default: throw new ArgumentOutOfRangeException(nameof(e), e, "An event of unknown kind.");
        }
    }

    public string Read(string system, Setting setting, Target target) => target switch
    {
        Target.OfSignal s => new PlainLook(this, _family, system, setting, ++_observations).Signal(s.Signal),
        Target.OfSite s => _now[s.Site.ToString()],
        Target.OfCause c => CauseNamed(c.Cause) ? "yes" : "no",
        Target.OfTroubles t => new PlainLook(this, _family, system, setting, ++_observations).Trouble(t),
        _ => throw new ArgumentOutOfRangeException(nameof(target), target, "A target of unknown kind."),
    };

    internal SiteRef? SiteAt(string system, string position, string site)
    {
        var spec = _family.Positions.First(p => p.Id == position);
        if (spec.Sites.Any(s => s.Id == site)) return SiteRef.OfPosition(system, position, site);
        if (!_sits.TryGetValue((system, position), out var piece)) return null;
        var r = SiteRef.OfPiece(piece, site);
        return _now.ContainsKey(r.ToString()) ? r : null;
    }

    internal bool IsEmpty(string system, string position) => !_sits.ContainsKey((system, position));

    internal double ShowsPerTrial(SiteRef r, string mode)
    {
        var sites = r.Piece is { } id
            ? _family.Kinds.First(k => k.Id == _case.Pieces.First(p => p.Id == id).Kind).Sites
            : _family.Positions.First(p => p.Id == r.Position).Sites;
        return sites.First(s => s.Id == r.Site).Modes.First(m => m.Id == mode).ShowsPerTrial;
    }

    internal int Pick(string key, double[] chances)
    {
        if (_drawn.TryGetValue(key, out var v)) return v;
        return _drawn[key] = _draw(key, chances);
    }

    private bool Known(string name)
    {
        if (_case.KnownCauses.TryGetValue(name, out var k)) return k;
        var prior = _family.Causes.First(c => c.Id == name).Prior;
        return Pick("cause " + name, [1 - prior, prior]) == 1;
    }

    /// <summary>Draws all sites of one piece, or of one position, together.</summary>
    private void Carrier(IReadOnlyList<SiteSpec> sites, string? origin, double? trust, Func<string, SiteRef> name)
    {
        if (sites.Count == 0) return;
        var each = sites.Select(s => Prior(s, origin)).ToArray();
        if (trust is null)
        {
            for (var i = 0; i < sites.Count; i++) Set(i, Pick("site " + name(sites[i].Id), each[i]));
            return;
        }
        var combos = new List<int[]> { new int[sites.Count] };
        for (var i = 0; i < sites.Count; i++)
            combos = combos.SelectMany(c => Enumerable.Range(0, each[i].Length).Select(v => { var d = (int[])c.Clone(); d[i] = v; return d; })).ToList();
        var weight = combos.Select(c => c.Select((v, i) => each[i][v]).Aggregate(1.0, (a, b) => a * b)).ToArray();
        var bad = weight.Skip(1).Sum();
        for (var k = 1; k < weight.Length; k++) weight[k] = bad > 0 ? weight[k] / bad * (1 - trust.Value) : 0;
        weight[0] = bad > 0 ? trust.Value : 1;
        var chosen = combos[Pick("carrier " + name(sites[0].Id), weight)];
        for (var i = 0; i < sites.Count; i++) Set(i, chosen[i]);

        void Set(int i, int v)
        {
            var mode = v == 0 ? "good" : sites[i].Modes[v - 1].Id;
            _now[name(sites[i].Id).ToString()] = _original[name(sites[i].Id).ToString()] = mode;
        }
    }

    private double[] Prior(SiteSpec s, string? origin)
    {
        var rate = new double[s.Modes.Length];
        for (var m = 0; m < rate.Length; m++)
        {
            rate[m] = -Math.Log(1 - s.Modes[m].BaseOdds);
            if (origin is null) continue;
            foreach (var (cause, q) in s.Modes[m].ByCause.OrderBy(c => c.Key, StringComparer.Ordinal))
                if (q > 0 && Cause(origin, cause)) rate[m] -= Math.Log(1 - q);
        }
        var all = rate.Sum();
        var any = 1 - Math.Exp(-all);
        return [1 - any, .. rate.Select(r => all > 0 ? any * r / all : 0)];
    }

    private void Disturb(string system, string position, int index)
    {
        var spec = _family.Positions.First(p => p.Id == position);
        if (spec.ContactSite is not { } contact || spec.RedrawChance <= 0) return;
        if (Pick("disturbed " + index, [1 - spec.RedrawChance, spec.RedrawChance]) == 0) return;
        var site = spec.Sites.First(s => s.Id == contact);
        var v = Pick("redrawn " + index, Prior(site, _case.Systems.First(s => s.Id == system).Origin));
        _now[SiteRef.OfPosition(system, position, contact).ToString()] = v == 0 ? "good" : site.Modes[v - 1].Id;
    }

    private void PowerUp(CaseEvent.PowerUp u, int index)
    {
        var dead = new List<(string Site, string Mode)>();
        foreach (var h in _family.Hazards)
        {
            if (SiteAt(u.System, h.Position, h.Site) is not { } target || _now[target.ToString()] != "good") continue;
            if (!new PlainLook(this, _family, u.System, u.Setting, null).Holds(h.Trigger)) continue;
            var key = $"hazard {h.Id} {target}" + (h.EachTime ? " " + index : "");
            if (Pick(key, [1 - h.Chance, h.Chance]) == 1) dead.Add((target.ToString(), h.Mode));
        }
        // Several hazards on one site in one power-up: the first named in the family decides the mode.
        foreach (var (site, mode) in dead)
            if (_now[site] == "good") _now[site] = mode;
    }
}
