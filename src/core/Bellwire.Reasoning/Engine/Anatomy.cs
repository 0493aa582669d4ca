namespace Bellwire.Reasoning.Engine;

/// <summary>One physical site of the case.</summary>
internal sealed record SiteInfo(int Index, SiteRef Ref, SiteSpec Spec, string? Origin, double? Trust, int Carrier, int Rank, int Instance)
{
    public int States => Spec.Modes.Length + 1;
    public string StateName(int state) => state == 0 ? "good" : Spec.Modes[state - 1].Id;

    public int StateOf(string name)
    {
        if (name == "good") return 0;
        for (var i = 0; i < Spec.Modes.Length; i++)
            if (Spec.Modes[i].Id == name) return i + 1;
        return -1;
    }
}

/// <summary>What of a case never changes: its physical sites with their places in the variable order, and its lanes –
/// the joint states of all causes not known.</summary>
internal sealed class Anatomy
{
    public const int MostLanes = 1024;
    private readonly Dictionary<string, SiteInfo> _byName = [];
    private readonly Dictionary<string, PieceInstance> _pieces;
    private readonly Dictionary<string, PositionSpec> _positions;
    private readonly Dictionary<string, SignalSpec> _signals;
    private readonly Dictionary<(string, string), int> _rank;

    public Anatomy(Case c)
    {
        Case = c;
        _pieces = c.Pieces.ToDictionary(p => p.Id);
        _positions = c.Family.Positions.ToDictionary(p => p.Id);
        _signals = c.Family.Signals.ToDictionary(s => s.Id);
        Home = c.Systems.Select(s => s.Origin).FirstOrDefault(o => o is not null);
        var open = CauseNames(c).Where(n => !c.KnownCauses.ContainsKey(n)).ToList();
        if (open.Count > 10) throw new ArgumentException(
            $"{open.Count} causes are undecided ({string.Join(", ", open)}); the engine carries at most 10. Decide some, or give other origins as null.", nameof(c));
        OpenCauses = open;
        Lanes = 1 << open.Count;
        LanePrior = new double[Lanes];
        for (var l = 0; l < Lanes; l++)
        {
            LanePrior[l] = 1;
            for (var i = 0; i < open.Count; i++)
            {
                var p = CauseSpecOf(open[i]).Prior;
                LanePrior[l] *= (l >> i & 1) == 1 ? p : 1 - p;
            }
        }
        _rank = SiteOrder.Of(c.Family);
        var sites = new List<SiteInfo>();
        var carrier = 0;
        for (var i = 0; i < c.Pieces.Length; i++, carrier++)
            foreach (var s in c.Family.Kinds.First(k => k.Id == c.Pieces[i].Kind).Sites)
                Add(SiteRef.OfPiece(c.Pieces[i].Id, s.Id), s, c.Pieces[i].Origin, c.Pieces[i].Trust, RankOf(c, c.Pieces[i], s.Id), i);
        for (var i = 0; i < c.Systems.Length; i++)
            foreach (var p in c.Family.Positions)
            {
                foreach (var s in p.Sites)
                    Add(SiteRef.OfPosition(c.Systems[i].Id, p.Id, s.Id), s, c.Systems[i].Origin, c.Systems[i].PositionTrust,
                        _rank[(p.Id, s.Id)], c.Pieces.Length + i);
                carrier++;
            }
        Sites = sites;

        void Add(SiteRef r, SiteSpec s, string? origin, double? trust, int rank, int instance)
        {
            var info = new SiteInfo(sites.Count, r, s, origin, trust, carrier, rank, instance);
            sites.Add(info);
            _byName[r.ToString()] = info;
        }
    }

    public Case Case { get; }
    public string? Home { get; }
    public IReadOnlyList<string> OpenCauses { get; }
    public int Lanes { get; }
    public double[] LanePrior { get; }
    public IReadOnlyList<SiteInfo> Sites { get; }
    public SignalSpec Signal(string id) => _signals[id];
    public PositionSpec Position(string id) => _positions[id];
    public SiteInfo? Find(SiteRef r) => _byName.GetValueOrDefault(r.ToString());

    public SiteInfo? SiteAt(string system, string position, string site, string? piece)
    {
        foreach (var s in _positions[position].Sites)
            if (s.Id == site) return Find(SiteRef.OfPosition(system, position, site));
        return piece is null ? null : Find(SiteRef.OfPiece(piece, site));
    }

    /// <summary>Names of all causes: plain for the origin of the case's first owned system, "origin/cause" for others.</summary>
    public static IEnumerable<string> CauseNames(Case c)
    {
        var home = c.Systems.Select(s => s.Origin).FirstOrDefault(o => o is not null);
        foreach (var x in c.Family.Causes) yield return x.Id;
        var others = c.Systems.Select(s => s.Origin).Concat(c.Pieces.Select(p => p.Origin)).OfType<string>()
            .Where(o => o != home).Distinct().Order(StringComparer.Ordinal);
        foreach (var o in others)
            foreach (var x in c.Family.Causes) yield return o + "/" + x.Id;
    }

    /// <summary>Whether the cause works in the lane: 0 or 1.</summary>
    public bool Works(string name, int lane)
    {
        if (Case.KnownCauses.TryGetValue(name, out var known)) return known;
        for (var i = 0; i < OpenCauses.Count; i++)
            if (OpenCauses[i] == name) return (lane >> i & 1) == 1;
        throw new ArgumentException($"There is no cause '{name}' in this case.", nameof(name));
    }

    /// <summary>Prior of a site's states, value-major over lanes: competing risks.</summary>
    public double[] Prior(SiteSpec s, string? origin)
    {
        var n = s.Modes.Length + 1;
        var p = new double[n * Lanes];
        var rate = new double[n];
        for (var l = 0; l < Lanes; l++)
        {
            double sum = 0;
            for (var m = 1; m < n; m++)
            {
                var mode = s.Modes[m - 1];
                rate[m] = -double.LogP1(-mode.BaseOdds);
                if (origin is not null)
                    foreach (var (cause, q) in mode.ByCause)
                        if (q > 0 && Works(origin == Home ? cause : origin + "/" + cause, l)) rate[m] -= double.LogP1(-q);
                sum += rate[m];
            }
            p[l] = Math.Exp(-sum);
            for (var m = 1; m < n; m++) p[m * Lanes + l] = sum > 0 ? -double.ExpM1(-sum) * rate[m] / sum : 0;
        }
        return p;
    }

    private CauseSpec CauseSpecOf(string name)
    {
        var id = name[(name.IndexOf('/', StringComparison.Ordinal) + 1)..];
        return Case.Family.Causes.First(x => x.Id == id);
    }

    /// <summary>A piece's sites rank with the position it first sits in, else the first position of its kind.</summary>
    private int RankOf(Case c, PieceInstance piece, string site)
    {
        var at = c.Systems.SelectMany(s => s.InitialPieces).Where(x => x.Value == piece.Id).Select(x => x.Key)
            .Concat(c.Family.Positions.Where(p => p.Kind == piece.Kind).Select(p => p.Id));
        foreach (var position in at)
            if (_rank.TryGetValue((position, site), out var r)) return r;
        return _rank.Count;
    }
}
