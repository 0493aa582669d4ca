using System.Collections.Immutable;

namespace Bellwire.Workshop;

/// <summary>What must be in the box, what must not, and what is still open. Derived; adds up by construction.</summary>
/// <param name="ToPack">The owner's, here, not packed.</param>
/// <param name="Astray">The owner's, but sitting in another set (the mule, another job).</param>
/// <param name="ShopPiecesInside">The shop's own sitting in the owner's set: never leaves.</param>
/// <param name="Lent">The shop's own lent to this job, inside or not.</param>
/// <param name="Open">Every open item in words; empty when the carton may close.</param>
public sealed record Reconciliation(
    ImmutableArray<PieceState> Packed, ImmutableArray<PieceState> ToPack, ImmutableArray<PieceState> Astray,
    ImmutableArray<PieceState> ShopPiecesInside, ImmutableArray<PieceState> Lent,
    ImmutableArray<HardwareState> Hardware, ImmutableArray<string> Open)
{
    public static Reconciliation Of(ShopState state, string job)
    {
        if (!state.Jobs.TryGetValue(job, out var j)) throw new ArgumentException($"There is no job {job}.", nameof(job));
        var owner = Party.OwnerOf(job);
        var pieces = state.Pieces.Values.Where(p => !p.Gone).OrderBy(p => p.Id, StringComparer.Ordinal).ToList();
        bool Elsewhere(PieceState p) => p.Where.System is { } system && state.Systems[system].Job != job;
        bool InThisSet(PieceState p) => p.Where.System is { } system && state.Systems[system].Job == job;
        var theirs = pieces.Where(p => p.Owner == owner && p.Where.Place != Places.House).ToList();

        ImmutableArray<PieceState> packed = [.. theirs.Where(p => p.Packed)];
        ImmutableArray<PieceState> toPack = [.. theirs.Where(p => !p.Packed && !Elsewhere(p))];
        ImmutableArray<PieceState> astray = [.. theirs.Where(p => !p.Packed && Elsewhere(p))];
        ImmutableArray<PieceState> inside = [.. pieces.Where(p => p.Owner == Party.Shop && InThisSet(p))];
        ImmutableArray<PieceState> strangers = [.. pieces.Where(p => p.Owner != Party.Shop && p.Owner != owner && InThisSet(p))];
        ImmutableArray<PieceState> lent = [.. pieces.Where(p => p.Owner == Party.Shop && p.LentTo == job)];
        ImmutableArray<HardwareState> hardware = [.. j.Hardware.Values.OrderBy(h => h.Item, StringComparer.Ordinal)];

        ImmutableArray<string> open =
        [
            .. toPack.Select(p => $"{p.Name} ({p.Id}) is not in the box; it is at {p.Where}."),
            .. astray.Select(p => $"{p.Name} ({p.Id}) still sits in {p.Where}."),
            .. inside.Select(p => $"{p.Name} ({p.Id}) is the shop's own and sits in {p.Where}."),
            .. strangers.Select(p => $"{p.Name} ({p.Id}) belongs to {p.Owner} and sits in {p.Where}."),
            .. lent.Where(p => !inside.Contains(p)).Select(p => $"{p.Name} ({p.Id}) is the shop's own, still lent to this job, at {p.Where}."),
            .. hardware.Where(h => h.Packed != h.Came && string.IsNullOrWhiteSpace(h.Reason)).Select(h => $"{h.Item}: {h.Came} came, {h.Packed} packed."),
        ];
        return new(packed, toPack, astray, inside, lent, hardware, open);
    }
}
