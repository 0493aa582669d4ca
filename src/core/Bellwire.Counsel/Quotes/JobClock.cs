using System.Globalization;

namespace Bellwire.Counsel;

/// <summary>The minutes of the tape against what was agreed, and whether to stop and call.</summary>
/// <param name="Share">Spent over the ceiling, 0 and up; null without a ceiling.</param>
/// <param name="ChanceAbove">P(the job ends above the ceiling).</param>
/// <param name="GoingOn">What the owner is expected to pay if it goes on to the end; <paramref name="Declining"/> if it stops now and the set goes home as it is.</param>
public sealed record JobClock(double Minutes, decimal Spent, decimal? Ceiling, double? Share, double ChanceAbove, decimal GoingOn, decimal Declining, bool StopAndCall, string Word, string Currency)
{
    /// <summary>Shares beyond which one stops and calls (estimates): of the ceiling spent, and of the chance to end above it.</summary>
    public const double SpentShare = 0.85, AboveChance = 0.3;

    /// <summary>Of the fixed work, what is still owed by an owner who declines: taking in and packing, no proof (estimate).</summary>
    private const double FixedWhenDeclined = 0.5;

    public static JobClock Of(double minutes, PriceSpread spread, ShopTerms terms, decimal? ceiling)
    {
        ArgumentNullException.ThrowIfNull(spread);
        ArgumentNullException.ThrowIfNull(terms);
        var declining = ShopTerms.Cents((double)spread.Spent - terms.FixedHours * terms.Hourly * (1 - FixedWhenDeclined) * terms.Tax);
        if (ceiling is not { } top)
            return new(minutes, spread.Spent, null, null, 0, spread.Mean, declining, false, "Nothing is agreed yet: no ceiling to keep.", spread.Currency);
        var share = top > 0 ? (double)(spread.Spent / top) : double.PositiveInfinity;
        var above = spread.ChanceAbove(top);
        var word = spread.Spent > top ? "Stop and call: the ceiling is passed."
            : share >= SpentShare ? string.Create(CultureInfo.InvariantCulture, $"Stop and call: {share:P0} of the ceiling is spent.")
            : above >= AboveChance ? $"Stop and call: {Quantities.Words.Band(Math.Min(1, above))} that it ends above the ceiling."
            : "Within what was agreed.";
        return new(minutes, spread.Spent, top, share, above, spread.Mean, declining, spread.Spent > top || share >= SpentShare || above >= AboveChance, word, spread.Currency);
    }
}
