using System.Collections.Immutable;
using System.Globalization;
using Bellwire.Reasoning;
using Bellwire.Sheets;
using Bellwire.Workshop;

namespace Bellwire.Counsel;

/// <summary>What the whole job comes to for the owner, as the tape stands: for the person's own eyes while faults are uncertain.</summary>
/// <param name="Mean">Exact under the posterior. Quantiles are of <see cref="Draws"/> fault sets drawn from it.</param>
/// <param name="Spent">What is spent already and cannot be unspent, tax included.</param>
/// <param name="LooksToCome">Minutes of looking still expected (an estimate).</param>
public sealed record PriceSpread(decimal Mean, decimal P10, decimal P50, decimal P90, decimal Spent, double LooksToCome, string Currency, int Draws)
{
    /// <summary>Totals by drawn fault set, ascending, with their shares.</summary>
    public ImmutableArray<(double Total, double Share)> Totals { get; init; } = [];

    public const int DefaultDraws = 4000;

    /// <param name="looksToCome">See <see cref="Looks"/>.</param>
    /// <exception cref="InvalidOperationException">The tape contradicts itself.</exception>
    public static PriceSpread Of(ShopState state, string job, TypeSheet sheet, Weighed weighed, ShopTerms terms, double looksToCome = 0, int draws = DefaultDraws, ulong seed = 1)
    {
        var own = terms.For(state, job);
        var book = new CostBook(state, job, sheet, weighed, own, Chosen(state, job));
        var spent = Outlay(state, job, own);
        var rest = looksToCome / 60 * own.Hourly;
        ImmutableArray<(double Total, double Share)> totals = [.. Exactly.Draw(weighed.Weighing, draws, seed).GroupBy(s => Math.Round((spent + rest + book.Of(s)) * own.Tax, 6))
            .Select(g => (g.Key, g.Sum(s => s.Probability))).OrderBy(t => t.Key)];
        return new(ShopTerms.Cents((spent + rest + book.Mean(weighed.Weighing)) * own.Tax), Quantile(totals, 0.1), Quantile(totals, 0.5), Quantile(totals, 0.9),
            ShopTerms.Cents(spent * own.Tax), looksToCome, own.Currency, draws) { Totals = totals };
    }

    /// <summary>The smallest total that at least the share <paramref name="q"/> of the sets does not exceed.</summary>
    private static decimal Quantile(ImmutableArray<(double Total, double Share)> totals, double q)
    {
        var sum = 0.0;
        foreach (var (total, share) in totals) if ((sum += share) >= q - 1e-9) return ShopTerms.Cents(total);
        return ShopTerms.Cents(totals[^1].Total);
    }

    /// <summary>P(the whole comes to more than a sum).</summary>
    public double ChanceAbove(decimal sum) => Totals.Where(t => t.Total > (double)sum + 0.005).Sum(t => t.Share);

    /// <summary>Paid for whatever is found: the fixed work, the minutes on the tape, parts used, pieces that stay, freight. Before tax.</summary>
    internal static double Outlay(ShopState state, string job, ShopTerms terms) =>
        terms.FixedHours * terms.Hourly + state.Jobs[job].Minutes / 60 * terms.Hourly + PartsUsed(state, job) + terms.Way;

    internal static double PartsUsed(ShopState state, string job) =>
        (double)state.TapeOf(job).Select(e => e.Act).Sum(a => a switch { PartUsed p when p.Job == job => p.Cost, Exchanged x when x.Job == job => x.Price, _ => 0 });

    /// <summary>The way last chosen for each suspect.</summary>
    internal static Dictionary<string, WayChosen> Chosen(ShopState state, string job) =>
        state.TapeOf(job).Select(e => e.Act).OfType<WayChosen>().Where(a => a.Job == job).GroupBy(a => a.What).ToDictionary(g => g.Key, g => g.Last());

    /// <summary>Minutes of looking still to come: what is not known about the fault sets, in bits, over the bits a minute of the best free look.
    /// An estimate: looks tell less as they go on, and nobody asks until every doubt is gone.</summary>
    public static double Looks(Weighed weighed, Advice advice)
    {
        ArgumentNullException.ThrowIfNull(advice);
        if (weighed.Weighing.Posterior is null || advice.StoppingWord != "look on") return 0;
        var doubt = Exactly.Draw(weighed.Weighing, 1000, 1).Sum(s => -s.Probability * Math.Log2(s.Probability));
        var rate = advice.Moves.Where(b => b.Id != "mend").SelectMany(b => b.Moves).Where(m => m.Refusal is null).Select(m => m.InformationBits / Math.Max(0.5, m.Minutes)).DefaultIfEmpty(0).Max();
        return rate <= 0 ? 0 : Math.Min(240, Math.Max(0, doubt - 1) / rate);
    }

    public string Say() => string.Create(CultureInfo.InvariantCulture, $"{Tens(P10)} to {Tens(P90)} {Currency}, half of the time under {Tens(P50)}");

    private static decimal Tens(decimal money) => Math.Round(money / 10) * 10;
}
