using System.Collections.Immutable;
using Bellwire.Reasoning.Diagram;

namespace Bellwire.Reasoning.Engine;

/// <summary>The signals of one hook-up under one setting, as functions of the hidden variables.</summary>
/// <param name="trials">True for a look, in which intermittent faults show or hide; false for a hazard's trigger.</param>
internal sealed class Look(World world, Moment moment, string system, Setting setting, bool trials)
{
    public const int LoopCap = 12;
    private readonly Functions _f = world.Functions;
    private readonly Dictionary<string, int> _settled = [];
    private readonly Dictionary<int, int> _shown = [];
    private Dictionary<string, int>? _loop;

    public int Signal(string id)
    {
        Settle();
        return Value(id, _settled);
    }

    public int Holds(Condition c)
    {
        Settle();
        return Holds(c, _settled);
    }

    /// <summary>Which state of <see cref="Target.OfTroubles.States"/> stands, as a function.</summary>
    public int Troubles(Target.OfTroubles t)
    {
        Settle();
        var holds = t.Parts.Select(p => Holds(p.When, _settled)).ToArray();
        var states = t.States;
        var number = Enumerable.Range(0, states.Length).ToDictionary(i => states[i]);
        var outside = ~(states.Length - 1);
        var memo = new Dictionary<(int, int, int), int>();
        var inside = From(0, -1, -1);
        return t.Beyond is { } beyond ? _f.IfThenElse(Holds(beyond, _settled), outside, inside) : inside;

        // What the parts from i on make of it, with one (or two) that hold already.
        int From(int i, int one, int two)
        {
            if (i == holds.Length)
            {
                if (one < 0) return Functions.Good;
                return number.TryGetValue(two < 0 ? t.Parts[one].Name : Target.OfTroubles.Pair(t.Parts[one].Name, t.Parts[two].Name), out var k) ? ~k : outside;
            }
            if (memo.TryGetValue((i, one, two), out var known)) return known;
            var without = From(i + 1, one, two);
            if (holds[i] == Functions.False) return memo[(i, one, two)] = without;
            var with = one < 0 ? From(i + 1, i, -1) : two < 0 ? From(i + 1, one, i) : outside;
            return memo[(i, one, two)] = _f.IfThenElse(holds[i], with, without);
        }
    }

    private void Settle()
    {
        if (_loop is not null) return;
        var members = world.LoopMembers;
        try { _loop = Settled(members); }
        catch (DiagramTooLargeException)
        {
            // Half stepped it would be taken for settled by the next who asks.
            _loop = null;
            throw;
        }
    }

    private Dictionary<string, int> Settled(ImmutableArray<SignalSpec> members)
    {
        var now = _loop = members.ToDictionary(s => s.Id, _ => Functions.Good);
        if (members.Length == 0) return now;
        var before = now;
        for (var step = 0; step < LoopCap; step++)
        {
            before = now;
            var memo = new Dictionary<string, int>();
            now = members.ToDictionary(s => s.Id, s => Decide(s, memo));
            _loop = now;
            if (members.All(s => now[s.Id] == before[s.Id])) return now;
        }
        return members.ToDictionary(s => s.Id, s => Howl(s, before[s.Id], now[s.Id]));
    }

    /// <summary>Where the last step still changed the signal, it howls.</summary>
    private int Howl(SignalSpec s, int before, int last)
    {
        var howl = s.States.IndexOf("howl");
        if (howl < 0 || before == last) return last;
        var same = Functions.False;
        for (var i = 0; i < s.States.Length; i++)
            same = _f.Or(same, _f.And(_f.Is(before, i, s.States.Length), _f.Is(last, i, s.States.Length)));
        return _f.IfThenElse(same, last, ~howl);
    }

    private int Value(string id, Dictionary<string, int> memo)
    {
        var s = world.Anatomy.Signal(id);
        if (s.Loop) return _loop![id];
        if (memo.TryGetValue(id, out var v)) return v;
        return memo[id] = Decide(s, memo);
    }

    private int Decide(SignalSpec s, Dictionary<string, int> memo)
    {
        var r = Functions.Good;
        for (var i = s.Rules.Length - 1; i >= 0; i--)
        {
            var rule = s.Rules[i];
            var when = Holds(rule.When, memo);
            if (when == Functions.False) continue;
            if (rule.Chance < 1) when = _f.And(when, _f.Of(world.Grade(s, rule, system, moment)));
            var then = rule.Then == "?" ? _f.Of(world.Other(s, rule, system, moment)) : ~s.States.IndexOf(rule.Then);
            r = _f.IfThenElse(when, then, r);
        }
        return r;
    }

    private int Holds(Condition c, Dictionary<string, int> memo)
    {
        switch (c)
        {
            case Condition.Always: return Functions.True;
            case Condition.Not n: return _f.Not(Holds(n.Of, memo));
            case Condition.All a:
                var all = Functions.True;
                for (var i = a.Of.Length - 1; i >= 0 && all != Functions.False; i--) all = _f.And(Holds(a.Of[i], memo), all);
                return all;
            case Condition.Any a:
                var any = Functions.False;
                for (var i = a.Of.Length - 1; i >= 0 && any != Functions.True; i--) any = _f.Or(Holds(a.Of[i], memo), any);
                return any;
            case Condition.SiteIn s:
                var site = world.Anatomy.SiteAt(system, s.Position, s.Site, moment.PieceAt(system, s.Position));
                if (site is null) return Functions.False;
                var states = new int[site.States];
                foreach (var m in s.Modes)
                    if (site.StateOf(m) is >= 0 and var k) states[k] = 1;
                return _f.Map(Shown(site), states);
            case Condition.SignalIn s:
                var spec = world.Anatomy.Signal(s.Signal);
                var table = new int[spec.States.Length];
                foreach (var x in s.States)
                    if (spec.States.IndexOf(x) is >= 0 and var k) table[k] = 1;
                return _f.Map(Value(s.Signal, memo), table);
            case Condition.SelectorAt s:
                var at = setting.Throws.GetValueOrDefault(s.Selector) ?? world.Anatomy.Case.Family.Selectors.First(x => x.Id == s.Selector).Throws[0];
                return s.Throws.Contains(at) ? Functions.True : Functions.False;
            case Condition.Circumstance s:
                return setting.Circumstances.TryGetValue(s.Name, out var v) && s.Values.Contains(v) ? Functions.True : Functions.False;
            case Condition.Empty e:
                return moment.PieceAt(system, e.Position) is null ? Functions.True : Functions.False;
            default: throw new ArgumentOutOfRangeException(nameof(c), c, "A condition of unknown kind.");
        }
    }

    /// <summary>The state a site shows in this look.</summary>
    private int Shown(SiteInfo site)
    {
        var f = moment.Site[site.Index];
        if (!trials || f == Functions.Good) return f;
        if (_shown.TryGetValue(site.Index, out var known)) return known;
        var r = f;
        for (var m = 1; m < site.States; m++)
        {
            if (site.Spec.Modes[m - 1].ShowsPerTrial >= 1) continue;
            var hides = _f.And(_f.Is(f, m, site.States), _f.Not(_f.Of(world.Trial(site, m))));
            r = _f.IfThenElse(hides, Functions.Good, r);
        }
        return _shown[site.Index] = r;
    }
}
