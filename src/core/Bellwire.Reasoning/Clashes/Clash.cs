using System.Collections.Immutable;

namespace Bellwire.Reasoning.Clashes;

/// <summary>Looks for what is behind a tape that cannot, or can hardly, have happened. Sets to leave out are found by hitting clashes (Reiter,
/// "A theory of diagnosis from first principles", 1987; Greiner and others, 1989): a set that helps must hold an entry of every clash.</summary>
public static class Clash
{
    /// <exception cref="ArgumentException">The case names something that is not there; the message says what and where.</exception>
    public static ClashReport Explain(Case c, ClashOptions? options = null, WeighOptions? weigh = null, CancellationToken ct = default)
    {
        ArgumentNullException.ThrowIfNull(c);
        var o = options ?? new ClashOptions();
        var tapes = new Tapes(c, o, (weigh ?? new WeighOptions()) with { Samples = 200, MaxFaultSets = 1 }, ct);
        if (tapes.Offence([]) is not { } entry) return new ClashReport(null, [], [], true);
        var (sets, clash) = Smallest(tapes, o, entry);
        return new ClashReport(entry, sets, Usual.Of(tapes, o, entry, sets, clash), tapes.Left >= 0);
    }

    /// <summary>Breadth first over what is left out, one more entry at each level; stops at the first level that helps.</summary>
    private static (ImmutableArray<ImmutableArray<string>> Sets, ImmutableArray<string> Clash) Smallest(Tapes tapes, ClashOptions o, string entry)
    {
        var first = tapes.ClashAt([], entry);
        List<ImmutableSortedSet<string>> level = [[]];
        for (var size = 1; size <= o.MostLeftOut && tapes.Left >= 0; size++)
        {
            var helpful = new List<ImmutableSortedSet<string>>();
            var next = new Dictionary<string, ImmutableSortedSet<string>>();
            foreach (var left in level)
            {
                if (tapes.Left < 0) break;
                if (tapes.Offence(left) is not { } at) continue;
                foreach (var x in left.IsEmpty ? first : tapes.ClashAt(left, at))
                {
                    var more = left.Add(x);
                    next.TryAdd(string.Join("\n", more), more);
                }
            }
            foreach (var set in next.Values)
                if (tapes.Offence(set) is null && tapes.Left >= 0) helpful.Add(set);
            if (helpful.Count > 0) return ([.. helpful.Select(s => s.ToImmutableArray())], first);
            level = [.. next.Values];
        }
        return ([], first);
    }
}
