using System.Collections.Immutable;
using System.Globalization;
using Bellwire.Workshop;
using static Bellwire.Counsel.Papers.Say;

namespace Bellwire.Counsel.Papers;

/// <summary>Quote: what was found, what is proposed, and what it may come to. Never from a story: only after the bench has looked.</summary>
internal sealed record QuotePaper() : PaperKind("quote", "Quote", "What was found, what is proposed, and what it may come to.", 3)
{
    public override Paper Compose(PaperFacts f)
    {
        var looked = f.Acts.Any(a => a is Checked or GridChecked or ReadingTaken);
        var band = looked ? Afar.Price(f.State, f.Sheet, f.Weighed, new AdviceOptions(HourlyValue: (double)(f.Shop.HourlyRate ?? 75))) : null;
        var given = Agreement.Of(f.State, f.Job);
        var agreed = f.Acts.OfType<OwnerWord>().LastOrDefault(w => w.Amount > 0);
        return f.Write(Id, Title, f.Letter(), Blocks()) with { Sum = given.Quote is { } q ? new Money(q.Flat, q.Currency) : band is { } b ? new Money(Ceiling(b), f.Shop.Currency) : null };

        IEnumerable<Block> Blocks()
        {
            if (!looked)
            {
                yield return Words("Nothing has been looked at on the bench yet, and no price is given from a story. The quote follows when the set has been gone through.");
                yield break;
            }
            yield return Heading("Found so far");
            var found = f.Advice.Suspects.Where(s => !s.ShopPiece && s.Probability >= 0.25).Take(6).ToList();
            if (found.Count == 0) yield return Words("Nothing stands out as faulty in what came.");
            else yield return Table([Txt("Piece"), Txt("What is likely"), Txt("How surely")], found.Select(s => Row(s.Name, s.Modes.Length > 0 ? Upper(s.Modes[0].Mode) : "", Upper(s.Band))));
            if (!f.Advice.GoneSince.IsEmpty)
            {
                yield return Heading("Put right already");
                yield return Points(f.Advice.GoneSince.Select(Upper));
            }
            yield return Heading("What it may come to");
            if (given.Quote is { } quote)
            {
                yield return Table([Txt("What"), Txt("Kind"), Num("Amount")], quote.Lines.Select(l => Row(Upper(l.What), l.Kind, new Money(l.Amount, quote.Currency).ToString())),
                    Row("Flat price", "", new Money(quote.Flat, quote.Currency).ToString()), Row("Ceiling: not passed without your word", "", new Money(quote.Ceiling, quote.Currency).ToString()));
                if (!quote.Extras.IsDefaultOrEmpty)
                {
                    yield return Words("Only if it turns out to be needed, and only with your yes to each:");
                    yield return Table([Txt("Extra"), Num("Amount")], quote.Extras.Select(x => Row(Upper(x.What), new Money(x.Amount, quote.Currency).ToString())));
                }
            }
            else if (band is not { } p) yield return Words("The findings contradict each other; no price is given until they are cleared up.");
            else
            {
                var currency = f.Shop.Currency;
                yield return Table([Txt("If it goes"), Num("About")],
                    [Row("well (one time in ten it is less)", Round(p.P10, currency)), Row("as expected", Round(p.P50, currency)), Row("badly (one time in ten it is more)", Round(p.P90, currency))],
                    Row("Ceiling: not passed without your word", new Money(Ceiling(p), currency).ToString()));
                yield return Words("Work at the bench and parts are within these sums. Freight both ways, insurance and what a border asks come on top, as they are." + (f.Shop.TaxPercent is { } tax ? string.Create(CultureInfo.InvariantCulture, $" {f.Shop["tax-name"] ?? "Tax"} of {tax:0.##} % comes on top.") : ""));
            }
            if (!given.Unagreed.IsEmpty) { yield return Words("Not covered by your word so far:"); yield return Points(given.Unagreed); }
            if (agreed is not null)
                yield return Words($"Your word so far: {(agreed.Yes ? "yes" : "no")} to {new Money(agreed.Amount!.Value, agreed.Currency ?? f.Shop.Currency)} ({agreed.About}), by {agreed.Channel}. Anything beyond it needs a new word.");
            yield return Heading("What you may choose");
            yield return Points("go ahead, up to the ceiling; we stop and call before it",
                "mend the complaint only, and leave the rest as it is",
                "take a proved piece from our shelf instead, where we have one: it is used, and its price is said first",
                "decline: it comes back as it came, for what looking has cost and freight",
                "leave it to us for its parts, and owe nothing more");
            yield return Words("Parts may be used ones from other sets, for none are made; each is named on the invoice with its origin. Old parts come back to you if you ask for them. What fails to be mended is said, with the reason.");
            if (f.Shop["terms"] is { } terms) { yield return Heading("Terms"); foreach (var line in PaperFacts.Lines(terms)) yield return Words(line); }
            yield return new Block.Blanks(["Your choice", "Up to the sum of", "Date", "Signed"]);
        }
    }

    private static decimal Ceiling(PriceBand band) => (decimal)(Math.Ceiling(band.P90 / 10) * 10);
    private static string Round(double amount, string currency) => string.Create(CultureInfo.InvariantCulture, $"{Math.Round(amount / 10) * 10:0} {currency}");
}
