using System.Collections.Immutable;

namespace Bellwire.Workshop;

public static partial class Law
{
    public static readonly ImmutableArray<string> CoreFates = ["kept", "returned", "scrapped"];

    /// <summary>Laws of quotes, words and exchanges.</summary>
    private static Verdict.Refused? Plainly(ShopState s, PlainAct act) => (act.OfJob is { } job ? Job(s, job) : null) ?? act switch
    {
        TermsSet a => Currency(a.Currency) ?? Sum(a.FreightIn, "Freight here") ?? Sum(a.FreightOut, "Freight home") ?? Sum(a.InsuredValue, "Insured value")
            ?? (a.TaxPercent is >= 0 and <= 100 ? null : No($"Tax: {a.TaxPercent} is outside 0 to 100 percent.")),
        WayChosen a => Way(s, a),
        QuoteGiven a => Quote(a),
        WordTied a => Tie(s, a),
        Exchanged a => Exchange(s, a) ?? Kept(s, a.Piece, a.Job, a.OverrideReason),
        _ => Shelf(s, act),
    };

    private static Verdict.Refused? Sum(decimal amount, string field) => amount is >= 0 and <= 10_000_000 ? null : No($"{field}: {amount} is outside 0 to 10000000.");

    private static Verdict.Refused? Currency(string currency) =>
        currency is { Length: 3 } && currency.All(char.IsAsciiLetterUpper) ? null : No($"“{currency}” is not a currency: three capital letters, such as EUR.");

    private static Verdict.Refused? Way(ShopState s, WayChosen a)
    {
        if (!Ways.All.Contains(a.Way)) return No($"“{a.Way}” is not a way: {string.Join(", ", Ways.All)}.");
        if (string.IsNullOrWhiteSpace(a.What)) return No("Say what it is about.");
        if (a.With is null) return null;
        return Piece(s, a.With) ?? (s.Pieces[a.With].Owner == Party.Shop ? null : No($"{Called(s, a.With)} belongs to {s.Pieces[a.With].Owner}; only the shop's own can be offered."));
    }

    private static Verdict.Refused? Quote(QuoteGiven a)
    {
        if (Currency(a.Currency) is { } bad) return bad;
        if (a.Lines.IsDefaultOrEmpty) return No("A quote has at least one line.");
        var total = a.Lines.Sum(l => l.Amount);
        if (total != a.Flat) return No($"The lines add up to {total}, not to {a.Flat}.");
        if (a.Flat < 0) return No($"Flat price: {a.Flat} is below nothing.");
        if (a.Ceiling < a.Flat) return No($"Ceiling: {a.Ceiling} is below the flat price of {a.Flat}.");
        var extras = a.Extras.IsDefault ? [] : a.Extras;
        return extras.GroupBy(e => e.Id).FirstOrDefault(g => g.Count() > 1) is { } twice ? No($"Two extras are called {twice.Key}.")
            : extras.FirstOrDefault(e => e.Amount < 0) is { } below ? No($"{below.What}: {below.Amount} is below nothing.") : null;
    }

    private static Verdict.Refused? Tie(ShopState s, WordTied a)
    {
        if (!s.Words.TryGetValue(a.Word, out var word)) return No("There is no such word of an owner.");
        if (word.Job != a.Job) return No($"That word was given on job {word.Job}.");
        if (s.Ties.ContainsKey(a.Word)) return No("That word is tied already; take a new one.");
        if (a.Quote is not { } quote) return a.Extras.IsDefaultOrEmpty ? null : No("Extras belong to a quote; name it.");
        if (s.ById.GetValueOrDefault(quote)?.Act is not QuoteGiven given || given.Job != a.Job) return No("There is no such quote on this job.");
        var unknown = (a.Extras.IsDefault ? [] : a.Extras).FirstOrDefault(e => given.Extras.IsDefault || given.Extras.All(x => x.Id != e));
        return unknown is null ? null : No($"The quote has no extra {unknown}.");
    }

    /// <summary>A yes of that owner about that piece: an untied word speaks for all, a tied one only for what it names.</summary>
    private static Verdict.Refused? Covers(ShopState s, string wordEntry, string asked, params ReadOnlySpan<string?> pieces)
    {
        if (!s.Words.TryGetValue(wordEntry, out var word)) return No($"The word of {asked} is needed first, and must be named.");
        if (Party.OwnerOf(word.Job) != asked) return No($"That word was given by {Party.OwnerOf(word.Job)}, not by {asked}.");
        if (!word.Yes) return No("That word was a no.");
        if (!s.Ties.TryGetValue(wordEntry, out var tie)) return null;
        foreach (var piece in pieces)
            if (piece is not null && !tie.Pieces.Contains(piece)) return No($"That word was not about {Called(s, piece)}; a new one is needed.");
        return null;
    }

    private static Verdict.Refused? Exchange(ShopState s, Exchanged a)
    {
        if (Piece(s, a.Piece) is { } none) return none;
        var piece = s.Pieces[a.Piece];
        var owner = Party.OwnerOf(a.Job);
        if (!CoreFates.Contains(a.CoreFate)) return No($"“{a.CoreFate}” is not what can become of a core: {string.Join(", ", CoreFates)}.");
        if (Currency(a.Currency) is { } bad) return bad;
        if (Sum(a.Price, "Price") is { } sum) return sum;
        if (Open(s, a.Job) is { } closed) return closed;
        if (piece.Owner != Party.Shop) return No($"{Called(s, a.Piece)} belongs to {piece.Owner}, not to the shop.");
        if (piece.LentTo is { } borrower && borrower != a.Job) return No($"{Called(s, a.Piece)} is lent to job {borrower}. Return it first.");
        if (piece.Where.System is { } system && s.Systems[system].Job is { } at && at != a.Job) return No($"{Called(s, a.Piece)} sits in {piece.Where}.");
        if (a.Core is { } c)
        {
            if (Piece(s, c) is { } gone) return gone;
            var core = s.Pieces[c];
            if (core.Owner != owner) return No($"{Called(s, c)} belongs to {core.Owner}, not to {owner}.");
            if (core.Kind != piece.Kind) return No($"{Called(s, c)} is of another kind ({core.Kind}) than {Called(s, a.Piece)} ({piece.Kind}).");
            if (a.CoreFate != "returned" && (NotPacked(s, c) ?? NotInClosedSet(s, c)) is { } held) return held;
            if (a.CoreFate == "scrapped" && Loose(s, c) is { } sits) return sits;
            if (a.CoreFate == "kept" && core.Where.System is { } into && s.Systems[into].Job == a.Job) return No($"{Called(s, c)} still sits in {core.Where}. Pull it first.");
        }
        else if (a.CoreFate != "returned") return No("No core was named that could be kept or scrapped.");
        if (Covers(s, a.Word, owner, a.Piece, a.CoreFate == "returned" ? null : a.Core) is { } uncovered) return uncovered;
        return LastReference(s, piece) && string.IsNullOrWhiteSpace(a.OverrideReason)
            ? No($"{Called(s, a.Piece)} was your reference: none left of its kind ({piece.Kind}).", overridable: true) : null;
    }

    /// <summary>A known-good piece of the shop's without another of its kind.</summary>
    public static bool LastReference(ShopState s, PieceState piece)
    {
        ArgumentNullException.ThrowIfNull(s);
        ArgumentNullException.ThrowIfNull(piece);
        return piece is { Owner: Party.Shop, KnownGood: true } && !s.Pieces.Values.Any(p => p.Id != piece.Id && p.Kind == piece.Kind && p is { Owner: Party.Shop, KnownGood: true, Gone: false });
    }
}
