using System.Collections.Immutable;

namespace Bellwire.Counsel.Mends;

/// <summary>A part of the shop's as it lies in the drawer.</summary>
/// <param name="Rule">Id of the rule it falls under.</param>
/// <param name="Values">Its markings by the ids of the rule's asks of the new part, as typed.</param>
/// <param name="Count">Pieces left; 0 is passed over.</param>
public sealed record PartInStock(string Id, string Rule, string Name, ImmutableDictionary<string, string> Values, int Count, string Place);

public sealed record StockLine(PartInStock Part, Finding Finding);

/// <param name="Best">The fitting one nearest the old part; null when none fits.</param>
/// <param name="AlsoFit">The others that fit, nearest first.</param>
/// <param name="DoNotFit">Each with why.</param>
public sealed record StockPick(StockLine? Best, ImmutableArray<StockLine> AlsoFit, ImmutableArray<StockLine> DoNotFit);

/// <summary>Own stock first: every part of the kind judged by the rule, as if it were proposed.</summary>
public static class Stock
{
    public static StockPick Pick(MendRule rule, Given asked, IEnumerable<PartInStock> stock)
    {
        ArgumentNullException.ThrowIfNull(rule);
        ArgumentNullException.ThrowIfNull(asked);
        ArgumentNullException.ThrowIfNull(stock);
        ImmutableArray<Ask> newPart = [.. rule.NewPart];
        var judged = new List<(StockLine Line, double Far)>();
        foreach (var part in stock.Where(p => p.Rule == rule.Id && p.Count > 0).OrderBy(p => p.Id, StringComparer.Ordinal))
        {
            var (values, wrong) = Given.Read(newPart.Select(a => a with { Required = false }), id => part.Values.GetValueOrDefault(id));
            var laid = asked.Over(newPart, values);
            var finding = wrong.Count > 0 ? new Finding(Judgement.DoesNotFit, "Its markings cannot be read: " + string.Join(" ", wrong.OrderBy(w => w.Key, StringComparer.Ordinal).Select(w => w.Value)), [], [], [])
                : newPart.Any(values.Has) ? rule.Answer(laid)
                : new Finding(Judgement.DoesNotFit, "Nothing is known of its markings.", [], [], []);
            judged.Add((new(part, finding), Distance(rule, laid)));
        }
        // Fewer things to mind first, then the nearest to what was there, then the drawer's own order.
        var fit = judged.Where(j => j.Line.Finding.Judgement == Judgement.Fits)
            .OrderBy(j => j.Line.Finding.Cautions.Length).ThenBy(j => j.Far).ThenBy(j => j.Line.Part.Id, StringComparer.Ordinal).Select(j => j.Line).ToList();
        return new(fit.FirstOrDefault(), [.. fit.Skip(1)], [.. judged.Where(j => j.Line.Finding.Judgement != Judgement.Fits).Select(j => j.Line)]);
    }

    /// <summary>Sum of |ln(new ÷ old)| over the markings that answer one another: 0 is the same part.</summary>
    private static double Distance(MendRule rule, Given laid) =>
        (from ask in rule.NewPart.OfType<NumberAsk>()
         where ask.Like is not null && laid.Has(ask)
         let old = rule.Asks.OfType<NumberAsk>().FirstOrDefault(a => a.Id == ask.Like)
         where old is not null && laid[old] > 0 && laid[ask] > 0
         select Math.Abs(Math.Log(laid[ask]!.Value / laid[old]!.Value))).Sum();
}
