namespace Bellwire.Reasoning.Plain;

/// <summary>One look at one hook-up of an explicit world.</summary>
/// <param name="trial">Number of the observation, so that intermittent faults show or hide anew; null for a hazard's
/// trigger, which takes an intermittent fault as present.</param>
internal sealed class PlainLook(PlainWorld world, Family family, string system, Setting setting, int? trial)
{
    private readonly Dictionary<string, string> _settled = [];
    private Dictionary<string, string>? _loop;

    public string Signal(string id) => Value(id, _settled);

    public bool Holds(Condition c) => Holds(c, _settled);

    public string Trouble(Target.OfTroubles t)
    {
        var there = t.Parts.Where(p => Holds(p.When)).Select(p => p.Name).ToList();
        if (t.Beyond is not null && Holds(t.Beyond)) return "beyond";
        if (there.Count == 0) return "good";
        var name = string.Join(" + ", there);
        return there.Count <= 2 && t.Known.Contains(name) ? name : "beyond";
    }

    /// <summary>Loop members all step together from good; what moves in the last step howls.</summary>
    private void Settle()
    {
        var members = family.Signals.Where(s => s.Loop).ToList();
        _loop = members.ToDictionary(s => s.Id, s => s.States[0]);
        var before = _loop;
        for (var step = 0; step < PlainWorld.LoopCap; step++)
        {
            before = _loop;
            var memo = new Dictionary<string, string>();
            var next = members.ToDictionary(s => s.Id, s => Decide(s, memo));
            _loop = next;
            // A step that moves nothing is followed by nothing but its like.
            if (members.All(s => next[s.Id] == before[s.Id])) break;
        }
        var last = _loop;
        _loop = members.ToDictionary(s => s.Id, s => last[s.Id] != before[s.Id] && s.States.Contains("howl") ? "howl" : last[s.Id]);
    }

    private string Value(string id, Dictionary<string, string> memo)
    {
        var s = family.Signals.First(x => x.Id == id);
        if (s.Loop)
        {
            if (_loop is null) Settle();
            return _loop![id];
        }
        if (memo.TryGetValue(id, out var v)) return v;
        return memo[id] = Decide(s, memo);
    }

    private string Decide(SignalSpec s, Dictionary<string, string> memo)
    {
        foreach (var r in s.Rules)
        {
            if (!Holds(r.When, memo)) continue;
            if (r.Chance >= 1 && r.Then != "?") return r.Then;
            var sites = Sites(r.When).Distinct().Order(StringComparer.Ordinal).ToList();
            var named = sites.Count == 0 ? system : string.Join(",", sites);
            if (r.Chance < 1 && world.Pick($"graded {s.Id} {r.Id} {named}", [1 - r.Chance, r.Chance]) == 0) continue;
            if (r.Then != "?") return r.Then;
            var n = s.States.Length;
            return s.States[world.Pick($"other {s.Id} {named}", Enumerable.Repeat(1.0 / n, n).ToArray())];
        }
        return s.States[0];
    }

    private IEnumerable<string> Sites(Condition c) => c switch
    {
        Condition.All a => a.Of.SelectMany(Sites),
        Condition.Any a => a.Of.SelectMany(Sites),
        Condition.Not n => Sites(n.Of),
        Condition.SiteIn s => [world.SiteAt(system, s.Position, s.Site)?.ToString() ?? $"{system}/{s.Position} empty"],
        _ => [],
    };

    private bool Holds(Condition c, Dictionary<string, string> memo) => c switch
    {
        Condition.Always => true,
        Condition.All a => a.Of.All(x => Holds(x, memo)),
        Condition.Any a => a.Of.Any(x => Holds(x, memo)),
        Condition.Not n => !Holds(n.Of, memo),
        Condition.SiteIn s => world.SiteAt(system, s.Position, s.Site) is { } site && s.Modes.Contains(Shown(site)),
        Condition.SignalIn s => s.States.Contains(Value(s.Signal, memo)),
        Condition.SelectorAt s => s.Throws.Contains(
            setting.Throws.GetValueOrDefault(s.Selector) ?? family.Selectors.First(x => x.Id == s.Selector).Throws[0]),
        Condition.Circumstance s => setting.Circumstances.TryGetValue(s.Name, out var v) && s.Values.Contains(v),
        Condition.Empty e => world.IsEmpty(system, e.Position),
        _ => throw new ArgumentOutOfRangeException(nameof(c), c, "A condition of unknown kind."),
    };

    private string Shown(SiteRef site)
    {
        var mode = world.Now[site.ToString()];
        if (mode == "good" || trial is null) return mode;
        var p = world.ShowsPerTrial(site, mode);
        return p >= 1 || world.Pick($"trial {trial} {site}", [1 - p, p]) == 1 ? mode : "good";
    }
}
