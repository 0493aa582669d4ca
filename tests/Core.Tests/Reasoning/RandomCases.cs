using System.Collections.Immutable;
using Bellwire.Reasoning;

namespace Core.Tests.Reasoning;

/// <summary>Small random cases with every feature the engine knows: several sites a piece, trust, contacts, causes of two
/// origins, graded rules, unknown faults, loops, hazards once and each time, mends, intermittents, repeats, a mule set.</summary>
internal sealed class RandomCases(int seed, int size = 2)
{
    private readonly Random _r = new(seed);

    private bool Chance(double p) => _r.NextDouble() < p;
    private T Any<T>(IReadOnlyList<T> of) => of[_r.Next(of.Count)];
    private double Odds(double most) => 0.01 + (most - 0.01) * _r.NextDouble();

    private SiteSpec Site(string id, bool other) => new(id, id, [.. Enumerable.Range(0, other ? 1 : _r.Next(1, 3)).Select(m =>
        new ModeSpec(other ? "other" : "m" + m, "", Odds(0.3),
            Chance(0.4) ? ImmutableDictionary<string, double>.Empty.Add("age", Odds(0.5)) : ImmutableDictionary<string, double>.Empty,
            !other && Chance(0.2) ? 0.1 + 0.8 * _r.NextDouble() : 1))]);

    public Case Make()
    {
        var positions = size;
        var kinds = Enumerable.Range(0, positions).Select(i => new PieceKind("K" + i, "", Chance(0.5) ? [Site("a", false)] : [Site("a", false), Site("b", Chance(0.4))])).ToImmutableArray();
        var specs = kinds.Select((k, i) => Chance(0.45)
            ? new PositionSpec("P" + i, "", k.Id, false, [Site("pin", false)], "pin", 0.2 + 0.5 * _r.NextDouble())
            : new PositionSpec("P" + i, "", k.Id, false, [])).ToImmutableArray();
        var signals = new List<SignalSpec>();
        var n = _r.Next(2, 5);
        for (var i = 0; i < n; i++)
        {
            var loop = Chance(0.15) || (i > 0 && signals[i - 1].Loop);
            string[] states = loop && Chance(0.5) ? ["ok", "dead", "howl"] : Chance(0.5) ? ["ok", "dead"] : ["ok", "low", "dead"];
            var rules = Enumerable.Range(0, _r.Next(1, 4)).Select(k => new RuleSpec("r" + k, Condition(specs, kinds, signals, loop ? n : 0, 0),
                Chance(0.15) ? "?" : states[_r.Next(1, Math.Min(3, states.Length))], Chance(0.25) ? 0.2 + 0.7 * _r.NextDouble() : 1)).ToImmutableArray();
            signals.Add(new SignalSpec("S" + i, "", [.. states], rules, loop));
        }
        for (var i = 0; i < n; i++) // a loop may have named members that never came to be loops: those are dropped
            signals[i] = signals[i] with { Rules = [.. signals[i].Rules.Select(r => r with { When = Tidy(r.When, signals, i) })] };
        var hazards = Enumerable.Range(0, _r.Next(0, 3)).Select(i =>
        {
            var p = _r.Next(positions);
            var site = Any(kinds[p].Sites);
            return new HazardSpec("H" + i, "", new Condition.SignalIn(Any(signals).Id, [Chance(0.5) ? "dead" : "ok"]), "P" + p, site.Id, Any(site.Modes).Id, 0.1 + 0.8 * _r.NextDouble(), Chance(0.5));
        }).ToImmutableArray();
        var family = new Family("F", kinds, specs, [new CauseSpec("age", "", 0.3)], [new SelectorSpec("sel", "", ["one", "two"])], [.. signals], hazards);
        return Case(family);
    }

    private Case Case(Family family)
    {
        var pieces = new List<PieceInstance>();
        var set = ImmutableDictionary<string, string>.Empty;
        var mule = ImmutableDictionary<string, string>.Empty;
        for (var i = 0; i < family.Kinds.Length; i++)
        {
            pieces.Add(new PieceInstance("x" + i, "K" + i, "house", Chance(0.15) ? 0.6 + 0.4 * _r.NextDouble() : null));
            set = set.Add("P" + i, "x" + i);
        }
        var spare = _r.Next(family.Kinds.Length);
        pieces.Add(new PieceInstance("spare", "K" + spare, Chance(0.2) ? "donor" : null, Chance(0.6) ? 0.9 : null));
        var hasMule = Chance(0.3);
        var systems = new List<SystemInstance> { new("set", "house", set, Chance(0.15) ? 0.8 : null) };
        if (hasMule) systems.Add(new SystemInstance("mule", null, mule.Add("P" + spare, "spare"), 0.95));
        var known = Chance(0.3) ? ImmutableDictionary<string, bool>.Empty.Add("age", Chance(0.5)) : ImmutableDictionary<string, bool>.Empty;
        var events = new List<CaseEvent>();
        var count = _r.Next(2, 8);
        for (var i = 0; i < count; i++) events.Add(Event(family, pieces, systems, i));
        return new Case(family, [.. pieces], [.. systems], known, [.. events]);
    }

    private CaseEvent Event(Family f, List<PieceInstance> pieces, List<SystemInstance> systems, int i)
    {
        var entry = "e" + (Chance(0.2) && i > 0 ? i - 1 : i);
        var system = Any(systems).Id;
        var at = Setting();
        switch (_r.Next(10))
        {
            case 0:
                var p = Any(pieces);
                return new CaseEvent.Place(entry, system, "P" + p.Kind[1..], Chance(0.15) ? null : p.Id);
            case 1: return new CaseEvent.Reseat(entry, system, Any(f.Positions).Id);
            case 2 or 3: return new CaseEvent.PowerUp(entry, system, at);
            case 4:
                var m = Any(pieces);
                return new CaseEvent.Mend(entry, SiteRef.OfPiece(m.Id, Any(f.Kinds.First(k => k.Id == m.Kind).Sites).Id), Chance(0.3) ? 1 : 0.7);
            case 5:
                var l = Any(pieces);
                var site = Any(f.Kinds.First(k => k.Id == l.Kind).Sites);
                return new CaseEvent.Observe(entry, system, at, new Target.OfSite(SiteRef.OfPiece(l.Id, site.Id)), Likelihood(["good", .. site.Modes.Select(x => x.Id)]));
            case 6 when Chance(0.5):
                return new CaseEvent.Observe(entry, system, at, new Target.OfCause("age"), Likelihood(["yes", "no"]));
            case 7 when Chance(0.6):
                var t = Troubles(f);
                return new CaseEvent.Observe(entry, system, at, t, Likelihood(t.States));
            default:
                var s = Any(f.Signals);
                return new CaseEvent.Observe(entry, system, at, new Target.OfSignal(s.Id), Likelihood(s.States), Chance(0.4) ? "again " + s.Id : null);
        }
    }

    /// <summary>Several sites, a signal perhaps, read at once; some pairs are known, some not.</summary>
    private Target.OfTroubles Troubles(Family f)
    {
        var parts = new List<Trouble>();
        for (var i = 0; i < f.Positions.Length; i++)
            foreach (var site in f.Kinds[i].Sites.Concat(f.Positions[i].Sites))
                foreach (var m in site.Modes.Where(_ => Chance(0.7)))
                    parts.Add(new($"P{i}.{site.Id}.{m.Id}", new Condition.SiteIn("P" + i, site.Id, [m.Id])));
        if (Chance(0.4)) parts.Add(new("upstream", new Condition.SignalIn(Any(f.Signals).Id, ["dead"])));
        var known = parts.Select(p => p.Name).Where(_ => Chance(0.9)).ToList();
        for (var i = 0; i < parts.Count; i++)
            for (var k = i + 1; k < parts.Count; k++)
                if (Chance(0.5)) known.Add(Target.OfTroubles.Pair(parts[i].Name, parts[k].Name));
        var first = Any(f.Positions);
        return new([.. parts], Chance(0.3) ? new Condition.SiteIn(first.Id, f.Kinds[int.Parse(first.Kind[1..])].Sites[0].Id, ["m0", "other"]) : null, [.. known]);
    }

    private Setting Setting() => new(
        Chance(0.4) ? ImmutableDictionary<string, string>.Empty.Add("sel", "two") : ImmutableDictionary<string, string>.Empty,
        Chance(0.4) ? ImmutableDictionary<string, string>.Empty.Add("warmth", "warm") : ImmutableDictionary<string, string>.Empty);

    private ImmutableDictionary<string, double> Likelihood(IReadOnlyList<string> states) =>
        states.ToImmutableDictionary(s => s, _ => 0.02 + 0.98 * _r.NextDouble());

    private Condition Condition(ImmutableArray<PositionSpec> specs, ImmutableArray<PieceKind> kinds, List<SignalSpec> before, int loopUpTo, int depth)
    {
        switch (_r.Next(depth > 1 ? 6 : 9))
        {
            case 0 when before.Count > 0:
                var s = Any(before);
                return new Condition.SignalIn(s.Id, [Any(s.States)]);
            case 1 when loopUpTo > 0: return new Condition.SignalIn("S" + _r.Next(loopUpTo), ["dead"]);
            case 2: return Chance(0.5) ? new Condition.SelectorAt("sel", [Chance(0.5) ? "one" : "two"]) : new Condition.Circumstance("warmth", ["warm"]);
            case 6: return new Condition.All([Condition(specs, kinds, before, loopUpTo, depth + 1), Condition(specs, kinds, before, loopUpTo, depth + 1)]);
            case 7: return new Condition.Any([Condition(specs, kinds, before, loopUpTo, depth + 1), Condition(specs, kinds, before, loopUpTo, depth + 1)]);
            case 8: return new Condition.Not(Condition(specs, kinds, before, loopUpTo, depth + 1));
            default:
                var i = _r.Next(specs.Length);
                if (Chance(0.05)) return new Condition.Empty(specs[i].Id);
                var site = Any([.. kinds[i].Sites, .. specs[i].Sites]);
                return new Condition.SiteIn(specs[i].Id, site.Id, [Chance(0.1) ? "good" : Any(site.Modes).Id]);
        }
    }

    private static Condition Tidy(Condition c, List<SignalSpec> signals, int self) => c switch
    {
        Condition.All a => new Condition.All([.. a.Of.Select(x => Tidy(x, signals, self))]),
        Condition.Any a => new Condition.Any([.. a.Of.Select(x => Tidy(x, signals, self))]),
        Condition.Not n => new Condition.Not(Tidy(n.Of, signals, self)),
        Condition.SignalIn s when !signals.First(x => x.Id == s.Signal).Loop && int.Parse(s.Signal[1..]) >= self => new Condition.Always(),
        _ => c,
    };
}
