using System.Collections.Immutable;
using Bellwire.Reasoning.Diagram;

namespace Bellwire.Reasoning.Engine;

/// <summary>Brings hazard switches and their triggers together.</summary>
internal static class Binder
{
    private static readonly double[] EachOf = [0, 2];

    /// <summary>Multiplies in the tie of every unbound switch that the function mentions, and of those that these mention.</summary>
    public static (Edge Evidence, ImmutableHashSet<int> Bound) Bind(World w, Edge e, int f, ImmutableHashSet<int> bound)
    {
        var wanted = new SortedDictionary<int, Tie>();
        Collect(w, f, bound, wanted);
        foreach (var tie in wanted.Values)
        {
            // The switch is as likely as not beforehand; the tie doubles what agrees with "the lot fell and the trigger held".
            var fired = w.Functions.And(w.Functions.Of(tie.Lot), tie.Trigger);
            var s = w.Functions.Of(tie.Switch);
            var agrees = w.Functions.IfThenElse(s, fired, w.Functions.Not(fired));
            e = w.Evidence.Multiply(e, agrees, EachOf);
            bound = bound.Add(tie.Switch.Id);
        }
        return (e, bound);
    }

    /// <summary>The function with every unbound switch written out as "its lot fell and its trigger held".</summary>
    /// <param name="narrow">Simplifies a trigger before it is written in, where some variables are known to hold a value.</param>
    public static int Expand(World w, int f, ImmutableHashSet<int> bound, Func<int, int>? narrow = null)
    {
        while (f >= 0)
        {
            Tie? latest = null;
            foreach (var v in w.Functions.Support(f))
                if (!bound.Contains(v) && w.TieOf(v) is { } t && (latest is null || t.Order > latest.Order)) latest = t;
            if (latest is null) break;
            var fired = w.Functions.And(w.Functions.Of(latest.Lot), narrow?.Invoke(latest.Trigger) ?? latest.Trigger);
            f = w.Functions.IfThenElse(fired, w.Functions.Hold(f, latest.Switch, 1), w.Functions.Hold(f, latest.Switch, 0));
        }
        return f;
    }

    private static void Collect(World w, int f, ImmutableHashSet<int> bound, SortedDictionary<int, Tie> wanted)
    {
        foreach (var v in w.Functions.Support(f))
            if (!bound.Contains(v) && w.TieOf(v) is { } t && wanted.TryAdd(t.Order, t)) Collect(w, t.Trigger, bound, wanted);
    }
}
