using System.Collections.Immutable;

namespace Bellwire.Reasoning.Engine;

/// <summary>Puts the drawn worlds together by what is wrong at some sites. A state that was drawn shows what its worlds show on the mean; a state
/// that only a mend leads to shows what the worlds of a state it came from would show with the rest made good.</summary>
internal sealed class Foreseer
{
    private readonly Chain chain;
    private readonly Planner planner;
    private readonly List<SiteInfo> sites, others;
    private readonly Dictionary<string, Moment> mended = [];

    public Foreseer(Chain chain, Planner planner, IReadOnlyList<SiteRef> sites, IReadOnlyList<SiteRef> others)
    {
        (this.chain, this.planner) = (chain, planner);
        this.sites = [.. sites.Select(s => chain.World.Anatomy.Find(s) ?? throw new ArgumentException($"The case has no site {s}.", nameof(sites)))];
        this.others = [.. others.Select(s => chain.World.Anatomy.Find(s)).OfType<SiteInfo>()];
    }

    /// <summary>States of the sites one by one, and whether any other is faulty.</summary>
    private sealed class State(byte[] at, bool others)
    {
        public byte[] At => at;
        public bool Others => others;

        /// <summary>Worlds it is told by: its own, or those of the state it was mended from.</summary>
        public List<int> Worlds { get; set; } = [];
        public bool Drawn { get; set; }
        public string Key => string.Join(",", at) + (others ? "+" : "");
    }

    public Foresight Of(IReadOnlyList<Move> moves, int most, Action<int, int>? tell, CancellationToken ct)
    {
        List<State> states;
        Lots lots;
        lock (chain.World.Lock)
        {
            lots = planner.Drawn;
            states = Drawn(lots, most);
        }
        var covered = (double)states.Sum(s => s.Worlds.Count) / lots.Count;
        Close(states);
        var told = new List<ForeseenMove>();
        for (var m = 0; m < moves.Count; m++)
        {
            if (Shows(moves[m], states, ct) is { } shows) told.Add(shows);
            tell?.Invoke(m + 1, moves.Count);
        }
        var all = (double)states.Where(s => s.Drawn).Sum(s => s.Worlds.Count);
        return new([.. states.Select(s => new ForeseenState([.. Enumerable.Range(0, sites.Count).Where(i => s.At[i] != 0).Select(i => (i, sites[i].StateName(s.At[i])))],
            s.Others, s.Drawn ? s.Worlds.Count / all : 0))], [.. told], covered);
    }

    private List<State> Drawn(Lots lots, int most)
    {
        var states = new Dictionary<string, State>();
        var rest = others.Select(s => s.Index).ToHashSet();
        for (var i = 0; i < lots.Count; i++)
        {
            var world = i;
            var state = new State([.. sites.Select(s => lots.States[world][s.Index])], lots.Faults[i].Any(rest.Contains)) { Drawn = true };
            if (!states.TryGetValue(state.Key, out var known)) states[state.Key] = known = state;
            known.Worlds.Add(i);
        }
        return [.. states.Values.OrderByDescending(s => s.Worlds.Count).ThenBy(s => s.Key, StringComparer.Ordinal).Take(most)];
    }

    /// <summary>Adds every state that mends lead to.</summary>
    private static void Close(List<State> states)
    {
        var known = states.Select(s => s.Key).ToHashSet();
        for (var i = 0; i < states.Count; i++)
        {
            var from = states[i];
            for (var s = 0; s < from.At.Length; s++)
                if (from.At[s] != 0) Add([.. from.At.Select((x, k) => k == s ? (byte)0 : x)], from.Others);
            if (from.Others) Add(from.At, false);

            void Add(byte[] at, bool others)
            {
                var child = new State(at, others) { Worlds = from.Worlds };
                if (known.Add(child.Key)) states.Add(child);
            }
        }
    }

    private ForeseenMove? Shows(Move move, List<State> states, CancellationToken ct)
    {
        var n = move.Outcomes.Count;
        var made = new Dictionary<string, double[]>();
        var rows = new List<ImmutableArray<double>>();
        foreach (var state in states)
        {
            ct.ThrowIfCancellationRequested();
            var under = state.Drawn ? "" : "mended to " + string.Join(",", state.At.Select(x => x != 0 ? 1 : 0)) + (state.Others ? "+" : "");
            if (!made.TryGetValue(under, out var chance))
                lock (chain.World.Lock)
                {
                    if (planner.Shows(move, state.Drawn ? chain.Last : Mended(under, state), under) is not { } shows) return null;
                    made[under] = chance = shows;
                }
            var row = new double[n];
            foreach (var w in state.Worlds)
                for (var o = 0; o < n; o++) row[o] += chance[w * n + o];
            var sum = row.Sum();
            if (sum <= 0) return null;
            rows.Add([.. row.Select(x => x / sum)]);
        }
        return new(move.Id, [.. move.Outcomes.Keys.Order(StringComparer.Ordinal)], [.. rows]);
    }

    /// <summary>Everything made good but what the state still has.</summary>
    private Moment Mended(string under, State state)
    {
        if (mended.TryGetValue(under, out var known)) return known;
        var all = (int[])chain.Last.Site.Clone();
        for (var s = 0; s < sites.Count; s++)
            if (state.At[s] == 0) all[sites[s].Index] = Diagram.Functions.Good;
        if (!state.Others)
            foreach (var s in others) all[s.Index] = Diagram.Functions.Good;
        return mended[under] = chain.Last with { Site = all };
    }
}
