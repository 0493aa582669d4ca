using System.Collections.Immutable;

namespace Bellwire.Workshop;

/// <summary>Effective order is not recorded order: late entries stand after the one they name, struck ones are left out.</summary>
public static class EffectiveOrder
{
    /// <param name="recorded">All entries in recorded order (by number).</param>
    public static ImmutableArray<Entry> Of(IReadOnlyList<Entry> recorded)
    {
        var struck = StruckIds(recorded);
        var late = recorded.Where(e => e.After is not null).ToLookup(e => e.After!.Value);
        var order = ImmutableArray.CreateBuilder<Entry>(recorded.Count);
        var pending = new Stack<Entry>();
        foreach (var first in recorded.Where(e => e.After is null))
        {
            pending.Push(first);
            while (pending.TryPop(out var entry))
            {
                if (entry.Act is not Struck && !struck.Contains(entry.Id)) order.Add(entry);
                foreach (var follower in late[entry.Number].Reverse()) pending.Push(follower);
            }
        }
        return order.ToImmutable();
    }

    /// <summary>A strike outranks what it names and can itself be struck, which restores; later entries decide first.</summary>
    public static ImmutableHashSet<string> StruckIds(IReadOnlyList<Entry> recorded)
    {
        var struck = ImmutableHashSet.CreateBuilder<string>();
        for (var i = recorded.Count - 1; i >= 0; i--)
            if (recorded[i].Act is Struck strike && !struck.Contains(recorded[i].Id)) struck.Add(strike.Entry);
        return struck.ToImmutable();
    }
}
