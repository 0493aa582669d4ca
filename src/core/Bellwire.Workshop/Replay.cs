using System.Collections.Immutable;

namespace Bellwire.Workshop;

/// <summary>Entries → state. The same entries always give the same state.</summary>
public static class Replay
{
    /// <param name="recorded">All entries in recorded order.</param>
    public static ShopState Of(IReadOnlyList<Entry> recorded)
    {
        ArgumentNullException.ThrowIfNull(recorded);
        var order = EffectiveOrder.Of(recorded);
        var state = Fold(ShopState.Empty, order);
        return state with { Effective = order, ById = recorded.ToImmutableDictionary(e => e.Id), Head = recorded.Count == 0 ? 0 : recorded[^1].Number };
    }

    /// <summary>Adds entries recorded since; only what was recorded out of order replays from the start.</summary>
    public static ShopState Continue(ShopState state, IReadOnlyList<Entry> recordedBefore, IReadOnlyList<Entry> since)
    {
        if (since.Any(e => e.After is not null || e.Act is Struck)) return Of([.. recordedBefore, .. since]);
        var next = Fold(state, since);
        return next with
        {
            Effective = state.Effective.AddRange(since),
            ById = state.ById.AddRange(since.Select(e => KeyValuePair.Create(e.Id, e))),
            Head = since.Count == 0 ? state.Head : since[^1].Number,
        };
    }

    /// <summary>The state a late entry meets: everything in effective order up to entry <paramref name="after"/> and the late ones already standing behind it.
    /// A number that is not in the journal gives the present state; whether it may stand there is the law's business.</summary>
    public static ShopState At(IReadOnlyList<Entry> recorded, long after)
    {
        ArgumentNullException.ThrowIfNull(recorded);
        if (after < 1 || after > recorded.Count) return Of(recorded);
        var here = new Entry(recorded[^1].Number + 1, "\0here", DateTimeOffset.UnixEpoch, null, after, [], [], new Noted("", default), "", "");
        var before = EffectiveOrder.Of([.. recorded, here]).TakeWhile(e => e.Id != here.Id).ToImmutableArray();
        return Fold(ShopState.Empty, before) with { Effective = before, ById = recorded.ToImmutableDictionary(e => e.Id), Head = recorded[^1].Number };
    }

    internal static ShopState Fold(ShopState state, IEnumerable<Entry> entries)
    {
        foreach (var entry in entries) state = Apply.To(state, entry);
        return state;
    }
}
