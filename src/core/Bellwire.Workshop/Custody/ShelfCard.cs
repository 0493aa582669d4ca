using System.Collections.Immutable;

namespace Bellwire.Workshop;

/// <summary>What the shelf knows of a piece beyond whose it is and where it lies.</summary>
/// <param name="ProvedOn">When its trust was last set, and how; null when never since it was recorded.</param>
public sealed record ShelfCard(string? Origin, string? Donor, string? Revision, ImmutableArray<string> Fits, string? ReservedFor, string? ReservedWhy, DateTimeOffset? ProvedOn, string? TrustHow, string? TrustJob)
{
    public static ShelfCard Blank { get; } = new(null, null, null, [], null, null, null, null, null);

    /// <summary>May it take the place of a piece of that revision? Unknown letters bar nothing.</summary>
    public bool TakesPlaceOf(ShelfCard other) => Revision is null || other.Revision is null || Revision == other.Revision || Fits.Contains(other.Revision);
}

/// <param name="Left">Position → kind of what is still in it; <paramref name="Taken"/> position → piece that came out.</param>
public sealed record DonorState(string Id, string Name, string? SheetId, string Place, ImmutableDictionary<string, string> Left, ImmutableDictionary<string, string> Taken);

/// <summary>What shelf entries do to the state. Decides nothing.</summary>
internal static class Shelving
{
    public static ShopState Apply(ShopState s, Entry entry) => entry.Act switch
    {
        TrustHandedOn a => OnCard(s with { Pieces = s.Pieces.SetItem(a.Piece, s.Pieces[a.Piece] with { Trust = TrustLedger.Now(s, a), KnownGood = a.After >= TrustLedger.KnownGood }) },
            a.Piece, c => c with { ProvedOn = entry.Done ?? entry.Entered, TrustHow = a.How, TrustJob = a.Job }) is var t ? t with { Trusts = t.Trusts.SetItem(a.Piece, [.. t.Trusts.GetValueOrDefault(a.Piece) is { IsDefault: false } old ? old : [], a]) } : s,
        OriginNoted a => OnCard(s, a.Piece, c => c with { Origin = a.Origin, Donor = a.Donor }),
        RevisionNoted a => OnCard(s, a.Piece, c => c with { Revision = a.Revision, Fits = a.Fits }),
        Reserved a => OnCard(s, a.Piece, c => c with { ReservedFor = a.For, ReservedWhy = a.Why }),
        DonorKept a => s with { Donors = s.Donors.SetItem(a.Donor, new(a.Donor, a.Name, a.SheetId, a.Place, a.Contents, ImmutableDictionary<string, string>.Empty)) },
        TakenOut a => OnCard(s with { Donors = s.Donors.SetItem(a.Donor, s.Donors[a.Donor] with { Left = s.Donors[a.Donor].Left.Remove(a.Position), Taken = s.Donors[a.Donor].Taken.SetItem(a.Position, a.Piece) }) },
            a.Piece, c => c with { Origin = "donor", Donor = a.Donor }),
        ComebackOf a => s with { Comebacks = s.Comebacks.SetItem(a.Job, a.Earlier) },
        _ => s,
    };

    private static ShopState OnCard(ShopState s, string piece, Func<ShelfCard, ShelfCard> change) => s with { Cards = s.Cards.SetItem(piece, change(s.CardOf(piece))) };
}

/// <summary>Trust of a shop's piece that several jobs had a hand in. Each job hands on a factor on the odds (after over before);
/// a job that weighs the piece itself leaves its own factor out, so that nothing is counted twice.</summary>
public static class TrustLedger
{
    /// <summary>From this trust on a piece counts as known good (estimate).</summary>
    public const double KnownGood = 0.9;

    /// <param name="except">The job that is about to weigh the piece; null for the trust as it stands.</param>
    /// <returns>P(all good), or null when only the odds of its kind are known.</returns>
    public static double? Of(ShopState state, string piece, string? except, double? recorded)
    {
        ArgumentNullException.ThrowIfNull(state);
        if (!state.Trusts.TryGetValue(piece, out var all)) return recorded;
        var from = -1;
        for (var i = 0; i < all.Length; i++) if (all[i].Job is null) from = i;
        var trust = from >= 0 ? all[from].After : (recorded ?? all[0].Before);
        // A job that hands on twice has weighed its whole tape twice: only the later one counts.
        foreach (var message in all.Skip(from + 1).GroupBy(m => m.Job).Where(g => g.Key != except).Select(g => g.Last()))
            trust = Times(trust, Odds(message.After) / Odds(message.Before));
        return trust;
    }

    internal static double Now(ShopState state, TrustHandedOn a)
    {
        var all = state.Trusts.GetValueOrDefault(a.Piece) is { IsDefault: false } old ? old.Add(a) : [a];
        return Of(state with { Trusts = state.Trusts.SetItem(a.Piece, all) }, a.Piece, null, state.Pieces[a.Piece].RecordedTrust)!.Value;
    }

    private static double Odds(double p) => Math.Clamp(p, 1e-4, 1 - 1e-4) / (1 - Math.Clamp(p, 1e-4, 1 - 1e-4));

    private static double Times(double p, double factor)
    {
        var odds = Odds(p) * factor;
        return odds / (1 + odds);
    }
}
