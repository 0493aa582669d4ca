using System.Collections.Immutable;
using Bellwire.Workshop;

namespace Bellwire.Counsel;

/// <param name="When">When it was said.</param>
/// <param name="Extras">Extras it names; <paramref name="Pieces"/> pieces; both empty for a word that is not tied.</param>
public sealed record WordLine(string Entry, string About, bool Yes, string Channel, decimal? Amount, string? Currency, DateTimeOffset When, string? Quote, ImmutableArray<string> Extras, ImmutableArray<string> Pieces, bool Tied);

/// <summary>What was offered and what the owner has said to it; derived from the tape.</summary>
/// <param name="Ceiling">What the shop may not go above without another word: the agreed quote's, or the sum of the last yes; null when nothing was agreed.</param>
/// <param name="Agreed">Flat price of the agreed quote and the extras said yes to, and later yeses with a sum.</param>
/// <param name="Unagreed">What was done, used or is to stay and no word covers, in words: each needs a new word.</param>
public sealed record Agreement(string? QuoteEntry, QuoteGiven? Quote, DateTimeOffset? Given, bool Accepted, bool Refused,
    ImmutableArray<WordLine> Words, decimal? Ceiling, decimal Agreed, ImmutableArray<string> Unagreed)
{
    public static Agreement Of(ShopState state, string job)
    {
        ArgumentNullException.ThrowIfNull(state);
        var tape = state.TapeOf(job).ToList();
        var quote = tape.LastOrDefault(e => e.Act is QuoteGiven q && q.Job == job);
        ImmutableArray<WordLine> words = [.. from e in tape
            let w = e.Act as OwnerWord
            where w is not null && w.Job == job
            let tie = state.Ties.GetValueOrDefault(e.Id)
            select new WordLine(e.Id, w.About, w.Yes, w.Channel, w.Amount, w.Currency, e.Done ?? e.Entered, tie?.Quote, OrNone(tie?.Extras), OrNone(tie?.Pieces), tie is not null)];
        var given = (QuoteGiven?)quote?.Act;
        var toQuote = quote is null ? [] : words.Where(w => w.Quote == quote.Id).ToList();
        var accepted = toQuote.Count > 0 && toQuote[^1].Yes;
        var extras = accepted ? toQuote.Where(w => w.Yes).SelectMany(w => w.Extras).ToHashSet() : [];
        var agreedExtras = accepted ? OrNone<QuoteExtra>(given!.Extras).Where(e => extras.Contains(e.Id)).Sum(e => e.Amount) : 0;
        var later = words.Where(w => w is { Yes: true, Quote: null, Amount: not null }).ToList();
        var after = accepted ? later.Where(w => w.When >= toQuote[^1].When).Sum(w => w.Amount!.Value) : 0;
        var agreed = accepted ? given!.Flat + agreedExtras + after : later.Count > 0 ? later[^1].Amount!.Value : 0;
        // A named extra stays under the quote's ceiling; what came later with a sum of its own is on top of it.
        decimal? ceiling = accepted ? Math.Max(given!.Ceiling + after, agreed) : later.Count > 0 ? later[^1].Amount : null;
        return new(quote?.Id, given, quote is null ? null : quote.Done ?? quote.Entered, accepted, toQuote.Count > 0 && !toQuote[^1].Yes, words, ceiling, agreed, Open(state, job, tape, words, given, accepted, extras));
    }

    private static ImmutableArray<string> Open(ShopState state, string job, List<Entry> tape, ImmutableArray<WordLine> words, QuoteGiven? given, bool accepted, HashSet<string> extras)
    {
        if (!accepted) return [];
        var covered = given!.Lines.Select(l => l.Piece).Concat(OrNone<QuoteExtra>(given.Extras).Where(e => extras.Contains(e.Id)).Select(e => e.Piece)).Concat(words.Where(w => w.Yes).SelectMany(w => w.Pieces)).ToHashSet();
        string Name(string piece) => state.Pieces.GetValueOrDefault(piece)?.Name ?? piece;
        var mended = tape.Select(e => e.Act).OfType<Mended>().Select(m => m.Piece ?? $"{m.System}/{m.Position}").Distinct().Where(p => !covered.Contains(p)).Select(p => $"{Name(p)} was mended; the quote does not name it.");
        var chosen = PriceSpread.Chosen(state, job).Values.Where(w => w.Way != Ways.Decline && !covered.Contains(w.What)).Select(w => $"{Name(w.What)}: {PlainWords.WayWord(w.Way)}; the quote does not name it.");
        return [.. mended.Concat(chosen).Distinct().Order(StringComparer.Ordinal)];
    }

    private static ImmutableArray<T> OrNone<T>(ImmutableArray<T>? list) => list is { IsDefault: false } some ? some : [];
}
