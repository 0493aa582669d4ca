using System.Collections.Immutable;
using Bellwire.Reasoning;
using Bellwire.Reasoning.Plain;

namespace Bellwire.Perf;

/// <summary>Generated sets like the shipped family: a supply with rails, sources, a tree of amplifiers and switching, stations
/// at the ends; 1–4 sites a piece, contacts at every position, causes, hazards, intermittents, unknown faults, a mule set.</summary>
internal sealed class Models(int pieces, int seed)
{
    private const int Rails = 3;
    private readonly Random _r = new(seed * 7919 + pieces);

    private bool Chance(double p) => _r.NextDouble() < p;

    public Case Case(int entries, int hookups)
    {
        var family = Family();
        var list = new List<PieceInstance>();
        var home = ImmutableDictionary.CreateBuilder<string, string>();
        var mule = ImmutableDictionary.CreateBuilder<string, string>();
        for (var i = 0; i < pieces; i++)
        {
            list.Add(new PieceInstance("own" + i, "K" + i, "house", null));
            list.Add(new PieceInstance("shop" + i, "K" + i, null, 0.97));
            home["P" + i] = "own" + i;
            mule["P" + i] = "shop" + i;
        }
        var systems = ImmutableArray.Create(new SystemInstance("set", "house", home.ToImmutable()), new SystemInstance("mule", null, mule.ToImmutable(), 0.995));
        var bare = new Case(family, [.. list], systems, ImmutableDictionary<string, bool>.Empty.Add("surge", false), []);
        return bare with { Events = Log(bare, entries, hookups) };
    }

    private Family Family()
    {
        var perMode = 1.2 / (pieces * 3.6);
        var kinds = new List<PieceKind>();
        var positions = new List<PositionSpec>();
        var signals = new List<SignalSpec>();
        for (var i = 0; i < pieces; i++)
        {
            var sites = Enumerable.Range(0, _r.Next(1, 5)).Select(s => new SiteSpec("s" + s, "", [.. Enumerable.Range(0, _r.Next(1, 3)).Select(m =>
                new ModeSpec("m" + m, "", perMode * (0.3 + 1.4 * _r.NextDouble()), Causes(perMode), Chance(0.03) ? 0.3 + 0.5 * _r.NextDouble() : 1))])).ToList();
            sites.Add(new SiteSpec("unknown", "", [new ModeSpec("other", "", perMode * 0.3, ImmutableDictionary<string, double>.Empty)]));
            kinds.Add(new PieceKind("K" + i, "", [.. sites]));
            positions.Add(new PositionSpec("P" + i, "", "K" + i, false, [new SiteSpec("pin", "", [new ModeSpec("open", "", perMode, Causes(perMode), Chance(0.1) ? 0.5 : 1)])], "pin", 0.15));
            // Rails hang on the first pieces; the rest form a tree, three branches to a node.
            var up = i < Rails ? (i == 0 ? -1 : 0) : Math.Max(Rails, i) == Rails ? -1 : Rails + (i - Rails - 1) / 3;
            signals.Add(Signal(i, kinds[i], up, i < Rails ? -1 : _r.Next(Rails)));
        }
        var hazards = ImmutableArray.Create(
            new HazardSpec("h0", "", new Condition.SignalIn("S1", ["high"]), "P" + Math.Min(pieces - 1, 5), "s0", "m0", 0.5, true),
            new HazardSpec("h1", "", new Condition.SignalIn("S2", ["high"]), "P" + Math.Min(pieces - 1, 7), "s0", "m0", 0.3, true),
            new HazardSpec("h2", "", new Condition.SignalIn("S0", ["high"]), "P" + Math.Min(pieces - 1, 9), "s0", "m0", 0.2, false));
        return new Family("perf", [.. kinds], [.. positions],
            [new CauseSpec("age", "", 0.4), new CauseSpec("water", "", 0.1), new CauseSpec("surge", "", 0.05), new CauseSpec("earlier work", "", 0.15)],
            [new SelectorSpec("sel", "", ["all", "one"])], [.. signals], hazards);
    }

    private ImmutableDictionary<string, double> Causes(double perMode)
    {
        var b = ImmutableDictionary<string, double>.Empty;
        if (Chance(0.3)) b = b.Add("age", perMode * 2);
        if (Chance(0.15)) b = b.Add("water", Math.Min(0.2, perMode * 6));
        if (Chance(0.1)) b = b.Add("earlier work", perMode * 3);
        return b;
    }

    private SignalSpec Signal(int i, PieceKind kind, int up, int rail)
    {
        var at = "P" + i;
        var rules = new List<RuleSpec> { new("pin", new Condition.SiteIn(at, "pin", ["open"]), "dead") };
        if (up >= 0) rules.Add(new RuleSpec("up dead", new Condition.SignalIn("S" + up, ["dead"]), "dead"));
        if (rail >= 0) rules.Add(new RuleSpec("rail dead", new Condition.SignalIn("S" + rail, ["dead"]), "dead"));
        rules.Add(new RuleSpec("unknown", new Condition.SiteIn(at, "unknown", ["other"]), "?"));
        foreach (var s in kind.Sites.Where(s => s.Id != "unknown"))
            foreach (var m in s.Modes)
            {
                Condition when = new Condition.SiteIn(at, s.Id, [m.Id]);
                if (Chance(0.15)) when = new Condition.All([when, new Condition.SelectorAt("sel", ["one"])]);
                if (Chance(0.1)) when = new Condition.All([when, new Condition.Circumstance("warmth", ["warm"])]);
                rules.Add(new RuleSpec(s.Id + m.Id, when, i < Rails && Chance(0.4) ? "high" : Chance(0.6) ? "dead" : "hum", Chance(0.15) ? 0.8 : 1));
            }
        if (up >= 0) rules.Add(new RuleSpec("up hum", new Condition.SignalIn("S" + up, ["hum"]), "hum"));
        return new SignalSpec("S" + i, "", i < Rails ? ["good", "dead", "hum", "high"] : ["good", "dead", "hum"], [.. rules]);
    }

    /// <summary>Plays a log in one world drawn by lot that has one to three faults in the owner's set.</summary>
    private ImmutableArray<CaseEvent> Log(Case c, int entries, int hookups)
    {
        PlainWorld world;
        var lot = (ulong)seed * 100_000;
        // That three hundred pieces of the shop are all sound would hardly ever be drawn: there they are so by decree.
        var drawn = pieces > 150 ? c with { Pieces = [.. c.Pieces.Select(p => p.Origin is null ? p with { Trust = 1 } : p)] } : c;
        do world = PlainWalk.ByLot(drawn, lot++);
        while (world.Now.Count(x => x.Value != "good" && (x.Key.StartsWith("own", StringComparison.Ordinal) || x.Key.StartsWith("set/", StringComparison.Ordinal))) is 0 or > 3
            || PlainTally.FaultSet(world).Contains("shop", StringComparison.Ordinal));
        var events = new List<CaseEvent>();
        var now = new Dictionary<int, bool>();
        Act(new CaseEvent.PowerUp("e0", "set", Setting.Default));
        var last = pieces - 1;
        for (var e = 1; e <= entries; e++)
        {
            var entry = "e" + e;
            if (hookups > 1 && e % Math.Max(2, entries / hookups) == 0)
            {
                // Fit a shop piece in the set, or try the owner's piece in the mule, turn about.
                var p = _r.Next(pieces);
                var own = !now.GetValueOrDefault(p);
                now[p] = own;
                Act(new CaseEvent.Place(entry, "set", "P" + p, own ? "shop" + p : "own" + p));
                Act(new CaseEvent.Place(entry, "mule", "P" + p, own ? "own" + p : "shop" + p));
                Act(new CaseEvent.PowerUp(entry, "set", Setting.Default));
                if (Chance(0.4)) Act(new CaseEvent.PowerUp(entry, "mule", Setting.Default));
                continue;
            }
            if (Chance(0.04)) { Act(new CaseEvent.Reseat(entry, "set", "P" + _r.Next(pieces))); continue; }
            var system = hookups > 1 && Chance(0.2) ? "mule" : "set";
            var setting = Setting.Default with { Throws = Chance(0.3) ? ImmutableDictionary<string, string>.Empty.Add("sel", "one") : ImmutableDictionary<string, string>.Empty };
            // Look at the far ends first, then anywhere.
            var k = e < entries / 3 ? last - _r.Next(Math.Max(1, pieces / 2)) : _r.Next(pieces);
            See(entry, system, setting, "S" + k);
        }
        return [.. events];

        void Act(CaseEvent x) { world.Act(x, events.Count); events.Add(x); }
        void See(string entry, string system, Setting setting, string signal)
        {
            var target = new Target.OfSignal(signal);
            var truth = world.Read(system, setting, target);
            var states = c.Family.Signals.First(s => s.Id == signal).States;
            var seen = Chance(0.98) ? truth : states[_r.Next(states.Length)];
            events.Add(new CaseEvent.Observe(entry, system, setting, target, states.ToImmutableDictionary(s => s, s => s == seen ? 0.97 : 0.03 / (states.Length - 1))));
        }
    }

    /// <summary>A full ranking: every signal under two settings as the set stands, every single swap with a look at the far end.</summary>
    public static List<Move> Ranking(Case c)
    {
        var one = Setting.Default with { Throws = ImmutableDictionary<string, string>.Empty.Add("sel", "one") };
        var moves = new List<Move>();
        foreach (var s in c.Family.Signals)
            foreach (var at in new[] { Setting.Default, one })
                moves.Add(new Move($"{s.Id} {moves.Count}", "set", [], false, at, new Target.OfSignal(s.Id), Outcomes(s)));
        var end = c.Family.Signals[^1];
        for (var i = 0; i < c.Family.Positions.Length; i++)
            moves.Add(new Move("swap " + i, "set", [("P" + i, "shop" + i)], true, Setting.Default, new Target.OfSignal(end.Id), Outcomes(end)));
        return moves;
    }

    private static ImmutableDictionary<string, ImmutableDictionary<string, double>> Outcomes(SignalSpec s) =>
        s.States.ToImmutableDictionary(o => o, o => s.States.ToImmutableDictionary(x => x, x => x == o ? 0.97 : 0.03 / (s.States.Length - 1)));
}
