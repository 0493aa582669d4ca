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
        var currency = f.Shop.Currency;
        var agreed = f.Acts.OfType<OwnerWord>().Where(w => w is { Yes: true, Amount: > 0 } && !IsSale(w) && (w.Currency ?? currency) == currency).Select(w => w.Amount!.Value).LastOrDefault();
        var charges = ImmutableArray.CreateBuilder<Charge>();
        if (agreed > 0) charges.Add(new("Work and parts, as agreed", "the sum you said yes to", agreed));
        else
        {
            var hours = (decimal)Math.Round(f.Of.Minutes / 15) / 4;
            if (hours > 0) charges.Add(new("Work at the bench", string.Create(CultureInfo.InvariantCulture, $"{hours:0.##} h at {new Money(hourly, currency)}"), decimal.Round(hours * hourly, 2)));
        }
        foreach (var part in f.Acts.OfType<PartUsed>().Where(p => p.Currency == currency))
            charges.Add(agreed > 0 ? new($"{Say.Upper(part.Part)}", "within the sum agreed", null) : new(Say.Upper(part.Part), NameOf(f, part.Piece), part.Cost));
        foreach (var sale in f.Acts.OfType<OwnershipMoved>().Where(m => m.To == Party.OwnerOf(f.Job) && m.How is "sale" or "exchange"))
        {
            var price = sale.WordEntry is { } id && f.State.Words.TryGetValue(id, out var word) && (word.Currency ?? currency) == currency ? word.Amount : null;
            charges.Add(new($"{NameOf(f, sale.Piece)} ({sale.Piece})", sale.How == "sale" ? "from our shelf, now yours" : "exchanged for yours", price));
        }
        var net = charges.Sum(c => c.Amount ?? 0);
        var tax = f.Shop.TaxPercent is { } percent ? decimal.Round(net * percent / 100, 2) : (decimal?)null;
        return new(charges.ToImmutable(), agreed > 0 ? new Money(agreed, currency) : null, net, tax, new(net + (tax ?? 0), currency));
    }

    private static bool IsSale(OwnerWord w) => w.About.Contains("sale", StringComparison.OrdinalIgnoreCase) || w.About.Contains("exchange", StringComparison.OrdinalIgnoreCase);

    private static string NameOf(PaperFacts f, string piece) => f.State.Pieces.TryGetValue(piece, out var p) ? p.Name : piece;

    /// <summary>The charges as a table, with net, tax and total below.</summary>
    internal Block AsTable(ShopDetails shop)
    {
        var foot = new List<ImmutableArray<string>>();
        if (Tax is { } tax)
        {
            foot.Add(Say.Row("Net", "", new Money(Net, Total.Currency).ToString()));
            foot.Add(Say.Row(string.Create(CultureInfo.InvariantCulture, $"{shop["tax-name"] ?? "Tax"} {shop.TaxPercent:0.##} %"), "", new Money(tax, Total.Currency).ToString()));
        }
        foot.Add(Say.Row("Total", "", Total.ToString()));
        return Say.Table([Say.Txt("What"), Say.Txt("How"), Say.Num("Amount")],
            Charges.Select(c => Say.Row(c.What, c.How, c.Amount is { } a ? new Money(a, Total.Currency).ToString() : "–")), [.. foot]);
    }
}
