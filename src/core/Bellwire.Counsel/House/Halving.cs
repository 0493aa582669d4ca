using System.Collections.Immutable;
using Bellwire.Workshop;

namespace Bellwire.Counsel;

/// <summary>Where a trouble on the house wires can still be, and what to lift next.</summary>
/// <param name="Suspects">Runs that may carry it, in the order asked.</param>
/// <param name="Lift">What to lift next; empty when nothing is left to halve.</param>
/// <param name="Word">The same as a sentence.</param>
public sealed record HalvingStep(ImmutableArray<string> Suspects, ImmutableArray<string> Lift, string Word);

/// <summary>Group tests over the telephone: lift half, ask, lift half of what is left. One bad run among n is found in ⌈log₂ n⌉ answers;
/// more than one shows when lifting neither half helps; then all are lifted and landed one by one.</summary>
public static class Halving
{
    /// <param name="runs">Every run that can be lifted.</param>
    /// <param name="tries">What was tried, in order; names that are no run are passed over.</param>
    public static HalvingStep Next(IReadOnlyList<string> runs, IEnumerable<GroupTried> tries)
    {
        ArgumentNullException.ThrowIfNull(runs);
        ArgumentNullException.ThrowIfNull(tries);
        var tried = tries.Select(t => (Lifted: t.Lifted.Where(runs.Contains).ToHashSet(), t.Remains)).ToList();
        if (tried.Any(t => t.Remains && t.Lifted.Count == runs.Count))
            return new([], [], "It stays with every run lifted: it is not on these wires.");
        // Gone with a set lifted: every bad run is among those lifted. Stays: a bad run is among those that stayed landed.
        var lifted = tried.Where(t => !t.Remains).Select(t => t.Lifted).ToList();
        var suspects = runs.Where(r => lifted.All(l => l.Contains(r))).ToList();
        var must = tried.Where(t => t.Remains).Select(t => runs.Where(r => !t.Lifted.Contains(r) && suspects.Contains(r)).ToHashSet()).ToList();
        if (suspects.Count == 0 || must.Any(m => m.Count == 0))
            return new([], [], "The answers do not fit together: it comes and goes, or was misheard. Land everything and begin again.");
        if (must.Count > 0)
        {
            var common = suspects.Where(r => must.All(m => m.Contains(r))).ToList();
            if (common.Count == 0) return Several(runs, tried);
            // One run that explains every answer is likelier than two.
            suspects = common;
        }
        if (suspects.Count == 1)
        {
            return lifted.Any(l => l.SetEquals(suspects)) || runs.Count == 1 && tried.Count > 0
                ? new([.. suspects], [], $"It is {suspects[0]}. Leave it lifted, and land the others.")
                : new([.. suspects], [.. suspects], $"Only {suspects[0]} is left. Lift it alone, land all others, and ask again.");
        }
        var half = suspects.Take((suspects.Count + 1) / 2).ToImmutableArray();
        return new([.. suspects], half, $"Lift {string.Join(", ", half)}; leave the others landed. Is it still there?");
    }

    /// <summary>More than one bad run. Good for sure: landed while the trouble was gone. Bad for sure: landed with only good ones while it stayed.
    /// What is neither is landed next, alone beside the good ones.</summary>
    private static HalvingStep Several(IReadOnlyList<string> runs, List<(HashSet<string> Lifted, bool Remains)> tried)
    {
        var good = tried.Where(t => !t.Remains).SelectMany(t => runs.Where(r => !t.Lifted.Contains(r))).ToHashSet();
        var bad = tried.Where(t => t.Remains).Select(t => runs.Where(r => !t.Lifted.Contains(r) && !good.Contains(r)).ToList()).Where(l => l.Count == 1).Select(l => l[0]).ToHashSet();
        ImmutableArray<string> suspects = [.. runs.Where(r => !good.Contains(r))];
        if (runs.FirstOrDefault(r => !good.Contains(r) && !bad.Contains(r)) is not { } next)
            return new(suspects, [], $"They are {string.Join(" and ", suspects)}. Leave them lifted, and land the others.");
        ImmutableArray<string> lift = [.. runs.Where(r => r != next && !good.Contains(r))];
        return new(suspects, lift, $"More than one run is bad. Land {next}{(good.Count > 0 ? " and the good ones" : " alone")}; lift {string.Join(", ", lift)}. Is it still there?");
    }
}
