namespace Bellwire.Reasoning.Plain;

/// <summary>Joint table of fault set and outcome of one move, over weighted worlds.</summary>
internal sealed class PlainMoveTally
{
    private readonly Dictionary<(string Set, string Outcome), double> _joint = [];
    private readonly Dictionary<string, double> _kills = [];
    private double _all;

    public void Act(PlainWorld world, Move move, int index, double weight, Func<double> prior)
    {
        var set = PlainTally.FaultSet(world);
        foreach (var (position, piece) in move.Swaps)
            world.Act(new CaseEvent.Place("", move.System, position, piece), index++);
        var before = world.Now.ToDictionary(x => x.Key, x => x.Value);
        if (move.PowersUp) world.Act(new CaseEvent.PowerUp("", move.System, move.Setting), index);
        var killed = world.Now.Where(x => x.Value != "good" && before[x.Key] == "good").Select(x => x.Key).ToList();
        var state = world.Read(move.System, move.Setting, move.Target);
        var p = weight * prior();
        _all += p;
        foreach (var k in killed) _kills[k] = _kills.GetValueOrDefault(k) + p;
        foreach (var (outcome, table) in move.Outcomes)
        {
            var share = p * table.GetValueOrDefault(state);
            _joint[(set, outcome)] = _joint.GetValueOrDefault((set, outcome)) + share;
        }
    }

    public PlainMove Answer()
    {
        var outcomes = _joint.GroupBy(x => x.Key.Outcome).ToDictionary(g => g.Key, g => g.Sum(x => x.Value) / _all);
        var h = outcomes.Values.Sum(Term);
        foreach (var g in _joint.GroupBy(x => x.Key.Set))
        {
            var share = g.Sum(x => x.Value);
            if (share > 0) h -= share / _all * g.Sum(x => Term(x.Value / share));
        }
        return new PlainMove(h, outcomes, _kills.ToDictionary(x => x.Key, x => x.Value / _all));
    }

    private static double Term(double p) => p > 0 ? -p * Math.Log2(p) : 0;
}
