using System.Collections.Immutable;

namespace Bellwire.Reasoning.Plain;

/// <summary>Adds up weighted worlds.</summary>
internal sealed class PlainTally
{
    private readonly Dictionary<string, Dictionary<string, double>> _now = [];
    private readonly Dictionary<string, Dictionary<string, double>> _original = [];
    private readonly Dictionary<string, double> _causes = [];
    private readonly Dictionary<string, double> _sets = [];
    private readonly double[] _after;
    private readonly Case _case;
    private readonly string[] _causeNames;

    public PlainTally(Case c)
    {
        _case = c;
        Events = OnceOnly(c);
        _after = new double[Events.Count];
        _causeNames = CauseNames(c);
        foreach (var n in _causeNames) _causes[n] = 0;
    }

    /// <summary>The events that count, with their place in the log.</summary>
    public IReadOnlyList<(CaseEvent Event, int Index)> Events { get; }

    public double Evidence { get; private set; }

    /// <summary>Acts the log out; returns the likelihood of everything seen.</summary>
    public double Play(PlainWorld world, double[] along)
    {
        double w = 1;
        Array.Clear(along);
        foreach (var n in _causeNames) world.CauseNamed(n); // drawn now, so that the world's prior counts them
        for (var i = 0; i < Events.Count && w > 0; i++) along[i] = w *= world.Act(Events[i].Event, Events[i].Index);
        return w;
    }

    public void Add(PlainWorld world, double prior, double w, double[] along)
    {
        for (var i = 0; i < along.Length; i++) _after[i] += prior * along[i];
        var p = prior * w;
        if (!(p > 0)) return;
        Evidence += p;
        Into(_now, world.Now, p);
        Into(_original, world.Original, p);
        foreach (var n in _causeNames)
            if (world.CauseNamed(n)) _causes[n] += p;
        var set = FaultSet(world);
        _sets[set] = _sets.GetValueOrDefault(set) + p;
    }

    public static string FaultSet(PlainWorld world) => string.Join(" ", world.Now.Where(x => x.Value != "good")
        .Select(x => x.Key + "=" + x.Value).Order(StringComparer.Ordinal));

    public PlainAnswer Answer(long worlds, bool whole) => new(
        Evidence, worlds, whole, Share(_now), Share(_original),
        _causes.ToDictionary(x => x.Key, x => x.Value / Evidence), _sets.ToDictionary(x => x.Key, x => x.Value / Evidence), _after);

    /// <summary>Drops a check that was repeated under the same key with nothing changed in between: the later one stands.</summary>
    public static List<(CaseEvent Event, int Index)> OnceOnly(Case c)
    {
        var kept = new List<(CaseEvent Event, int Index)>();
        var open = new Dictionary<string, int>();
        var sits = c.Systems.ToDictionary(s => s.Id, s => s.InitialPieces.ToDictionary(x => x.Key, x => x.Value));
        for (var i = 0; i < c.Events.Length; i++)
        {
            var e = c.Events[i];
            if (e is CaseEvent.Observe { Repeat: { } key } o)
            {
                var name = o.System + "|" + key;
                if (open.TryGetValue(name, out var earlier)
                    && ((CaseEvent.Observe)c.Events[earlier]).Target.Equals(o.Target)
                    && SameSetting(((CaseEvent.Observe)c.Events[earlier]).Setting, o.Setting))
                    kept.RemoveAll(k => k.Index == earlier);
                open[name] = i;
            }
            switch (e)
            {
                case CaseEvent.Mend: open.Clear(); break;
                case CaseEvent.Reseat r: Close(r.System); break;
                case CaseEvent.PowerUp u when c.Family.Hazards.Length > 0: Close(u.System); break;
                case CaseEvent.Place p:
                    Close(p.System);
                    foreach (var (s, at) in sits)
                        foreach (var (position, _) in at.Where(x => x.Value == p.Piece && p.Piece is not null).ToList())
                        {
                            at.Remove(position);
                            Close(s);
                        }
                    if (p.Piece is not null) sits[p.System][p.Position] = p.Piece;
                    else sits[p.System].Remove(p.Position);
                    break;
            }
            kept.Add((e, i));
        }
        return kept;

        void Close(string system)
        {
            foreach (var k in open.Keys.Where(k => k.StartsWith(system + "|", StringComparison.Ordinal)).ToList()) open.Remove(k);
        }
    }

    private static bool SameSetting(Setting a, Setting b) =>
        a.Throws.OrderBy(x => x.Key, StringComparer.Ordinal).SequenceEqual(b.Throws.OrderBy(x => x.Key, StringComparer.Ordinal))
        && a.Circumstances.OrderBy(x => x.Key, StringComparer.Ordinal).SequenceEqual(b.Circumstances.OrderBy(x => x.Key, StringComparer.Ordinal));

    private static string[] CauseNames(Case c)
    {
        var home = c.Systems.Select(s => s.Origin).FirstOrDefault(o => o is not null);
        var others = c.Systems.Select(s => s.Origin).Concat(c.Pieces.Select(p => p.Origin))
            .Where(o => o is not null && o != home).Distinct().Order(StringComparer.Ordinal);
        return [.. c.Family.Causes.Select(x => x.Id), .. others.SelectMany(o => c.Family.Causes.Select(x => o + "/" + x.Id))];
    }

    private static void Into(Dictionary<string, Dictionary<string, double>> sum, IReadOnlyDictionary<string, string> states, double p)
    {
        foreach (var (site, mode) in states)
        {
            if (!sum.TryGetValue(site, out var d)) sum[site] = d = [];
            d[mode] = d.GetValueOrDefault(mode) + p;
        }
    }

    private Dictionary<string, IReadOnlyDictionary<string, double>> Share(Dictionary<string, Dictionary<string, double>> sum) =>
        sum.ToDictionary(x => x.Key, x => (IReadOnlyDictionary<string, double>)x.Value.ToDictionary(y => y.Key, y => y.Value / Evidence));
}
