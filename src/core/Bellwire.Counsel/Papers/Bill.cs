using System.Collections.Immutable;
using System.Globalization;
using Bellwire.Workshop;

namespace Bellwire.Counsel.Papers;

/// <summary>One line of money.</summary>
/// <param name="Amount">In the shop's currency; null when the shop has said no price for it.</param>
public sealed record Charge(string What, string How, decimal? Amount);

/// <summary>What a job comes to, from its tape: the sum the owner agreed to, or hours and parts; pieces sold; tax.</summary>
/// <param name="Agreed">The owner's last yes to a sum; work and parts are within it.</param>
public sealed record Bill(ImmutableArray<Charge> Charges, Money? Agreed, decimal Net, decimal? Tax, Money Total)
{
    /// <param name="hourly">Money an attended hour is charged at, when no sum was agreed.</param>
    public static Bill Of(PaperFacts f, decimal hourly)
    {
        var terms = f.Acts.OfType<TermsSet>().LastOrDefault();
        var currency = terms?.Currency ?? f.Shop.Currency;
        var agreement = Agreement.Of(f.State, f.Job);
        var charges = ImmutableArray.CreateBuilder<Charge>();
        if (agreement is { Accepted: true, Quote: { } quote })
        {
            // The quote's lines hold its own tax; what was said yes to later is on top of it.
            charges.AddRange(quote.Lines.Select(l => new Charge(Say.Upper(l.What), l.Kind, l.Amount)));
            if (agreement.Agreed - quote.Lines.Sum(l => l.Amount) is not 0 and var more) charges.Add(new("Extras and later words, as agreed", "each with its own yes", more));
            return new(charges.ToImmutable(), new(agreement.Agreed, quote.Currency), agreement.Agreed, null, new(agreement.Agreed, quote.Currency));
        }
        var agreed = agreement.Agreed;
        if (agreed > 0) charges.Add(new("Work and parts, as agreed", "the sum you said yes to", agreed));
        else
        {
            var hours = (decimal)Math.Round(f.Of.Minutes / 15) / 4;
            if (hours > 0) charges.Add(new("Work at the bench", string.Create(CultureInfo.InvariantCulture, $"{hours:0.##} h at {new Money(hourly, currency)}"), decimal.Round(hours * hourly, 2)));
        }
        foreach (var part in f.Acts.OfType<PartUsed>().Where(p => p.Currency == currency))
            charges.Add(agreed > 0 ? new(Say.Upper(part.Part), "within the sum agreed", null) : new(Say.Upper(part.Part), NameOf(f, part.Piece), part.Cost));
        foreach (var sale in f.Sold)
            charges.Add(new($"{NameOf(f, sale.Piece)} ({sale.Piece})", sale.How == "sale" ? "from our shelf, now yours" : "exchanged for yours", sale.Currency is null || sale.Currency == currency ? sale.Price : null));
        var net = charges.Sum(c => c.Amount ?? 0);
        var tax = (terms?.TaxPercent ?? f.Shop.TaxPercent) is > 0 and var percent ? decimal.Round(net * percent / 100, 2) : (decimal?)null;
        return new(charges.ToImmutable(), agreed > 0 ? new Money(agreed, currency) : null, net, tax, new(net + (tax ?? 0), currency));
    }

    private static string NameOf(PaperFacts f, string piece) => f.State.Pieces.TryGetValue(piece, out var p) ? p.Name : piece;

    /// <summary>The charges as a table, with net, tax and total below.</summary>
    internal Block AsTable(ShopDetails shop)
    {
        var foot = new List<ImmutableArray<string>>();
        if (Tax is { } tax)
        {
            foot.Add(Say.Row("Net", "", new Money(Net, Total.Currency).ToString()));
            foot.Add(Say.Row(string.Create(CultureInfo.InvariantCulture, $"{shop["tax-name"] ?? "Tax"} {(Net == 0 ? 0 : tax / Net * 100):0.##} %"), "", new Money(tax, Total.Currency).ToString()));
        }
        foot.Add(Say.Row("Total", "", Total.ToString()));
        return Say.Table([Say.Txt("What"), Say.Txt("How"), Say.Num("Amount")],
            Charges.Select(c => Say.Row(c.What, c.How, c.Amount is { } a ? new Money(a, Total.Currency).ToString() : "–")), [.. foot]);
    }
}
