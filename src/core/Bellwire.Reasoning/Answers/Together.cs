using System.Collections.Immutable;

namespace Bellwire.Reasoning;

/// <summary>What several looks would show in the same drawn worlds, so that one can tell how likely they all come out well.</summary>
public static class Together
{
    /// <summary>For each look the chance 0..1 of its outcome in each drawn world; the worlds weigh alike and are the same for all looks.
    /// Empty for a look that would take too many nodes, and everywhere when the tape contradicts itself.</summary>
    public static ImmutableArray<ImmutableArray<double>> Of(Weighing weighing, IReadOnlyList<(Move Move, string Outcome)> looks)
    {
        ArgumentNullException.ThrowIfNull(weighing);
        ArgumentNullException.ThrowIfNull(looks);
        if (weighing is not { Chain: { } chain, Planner: { } planner }) return [.. looks.Select(_ => ImmutableArray<double>.Empty)];
        return [.. looks.Select(look =>
        {
            var outcomes = look.Move.Outcomes.Keys.Order(StringComparer.Ordinal).ToList();
            var at = outcomes.IndexOf(look.Outcome);
            if (at < 0) throw new ArgumentException($"Move '{look.Move.Id}' has no outcome '{look.Outcome}'; it has {string.Join(", ", outcomes)}.", nameof(looks));
            lock (chain.World.Lock)
                return planner.Shows(look.Move, chain.Last, "") is { } shows ? [.. Enumerable.Range(0, shows.Length / outcomes.Count).Select(w => shows[w * outcomes.Count + at])] : ImmutableArray<double>.Empty;
        })];
    }
}
