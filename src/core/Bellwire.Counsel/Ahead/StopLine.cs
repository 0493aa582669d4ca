using System.Collections.Immutable;
using System.Globalization;
using Bellwire.Quantities;
using Bellwire.Reasoning;
using Bellwire.Sheets;
using Bellwire.Workshop;

namespace Bellwire.Counsel;

/// <summary>A reason to stop looking, with the figures it rests on.</summary>
/// <param name="Word">One of the words of <see cref="Stops"/>.</param>
/// <param name="Because">A sentence.</param>
public sealed record StopLine(string Word, string Because);

/// <summary>When to stop looking, and why: every word that holds, from the same figures as the ranking, the price and the way ahead.</summary>
public static class Stops
{
    public const string MendNow = "mend now", EnoughToQuote = "enough to quote", Prove = "proving will tell the rest", NotWorthIt = "not worth going on", InTheHouse = "the odds lie in the house";

    /// <summary>A price is known when 8 of 10 totals lie within this share of the middle one; or when one fault set is surer than the other (estimates).</summary>
    private const double PriceWithin = 0.2, SetSure = 0.85;

    /// <summary>Less likely than this, the house is not named (estimate).</summary>
    private const double LeastHouse = 0.1;

    /// <param name="spread">Null when it was not reckoned: then nothing is said of the quote.</param>
    /// <param name="ahead">What is expected to be spent yet; null when it was not looked at: then nothing is said of giving up.</param>
    /// <returns>The weightiest first; empty while looking on is worth it.</returns>
    public static ImmutableArray<StopLine> Of(ShopState state, string job, TypeSheet sheet, Weighed weighed, Advice advice, PriceSpread? spread, WayAhead? ahead, AdviceOptions? options = null)
    {
        ArgumentNullException.ThrowIfNull(state);
        ArgumentNullException.ThrowIfNull(weighed);
        ArgumentNullException.ThrowIfNull(advice);
        if (weighed.Weighing.Posterior is not { } belief) return [];
        var names = new Namer(state, sheet, weighed.Built);
        var doubt = new Doubt(sheet, weighed.Built, names, options ?? new AdviceOptions());
        var agreement = Agreement.Of(state, job);
        var best = advice.Moves.Where(b => b.Id is not ("mend" or "rails")).SelectMany(b => b.Moves).Where(m => m.Refusal is null || m.Kind == "look").MaxBy(m => m.Score);
        var looking = advice.Moves.Any(b => b.Id is not ("mend" or "rails") && b.Worth >= StoppingAdvice.LeastRate(advice.Proof) && b.CanBeMade()) || advice.Moves.Any(b => b.Id == "rails");
        double Any(Func<SiteRef, bool> which) => Exactly.AnyOf(weighed.Weighing,
            [.. belief.Sites.Where(s => s.Faulty > 0 && which(s.Site)).Select(s => (s.Site, s.Now.Keys.Where(m => m != "good").ToImmutableHashSet()))]);
        var here = Any(doubt.Counts);
        var lines = ImmutableArray.CreateBuilder<StopLine>();
        if (ahead is not null && NotWorth(state, job, ahead, Doubt.Attended(sheet), spread, agreement) is { } no) lines.Add(new(NotWorthIt, no));
        if (advice.Moves.FirstOrDefault(b => b.Id == "mend")?.Moves[0] is { } mend)
            lines.Add(new(MendNow, Said($"{Cap(mend.GainWord)}, and {Words.Minutes(mend.Minutes)} to mend; {(best is null ? "no look is left" : $"the best look spares {Words.Minutes(best.SavesMinutes)} and costs {Words.Minutes(best.Minutes)}")}.")));
        if (!agreement.Accepted && spread is not null && Quotable(belief, spread) is { } quote) lines.Add(new(EnoughToQuote, quote));
        if (lines.All(l => l.Word != MendNow) && !looking)
        {
            var house = belief.Sites.Where(s => !doubt.Counts(s.Site) && InHouse(sheet, weighed.Built, names, s.Site)).ToList();
            var there = Any(s => house.Any(h => h.Site.Equals(s)));
            if (there >= LeastHouse && there > here)
                lines.Add(new(InTheHouse, Said($"{Cap(Words.Band(Math.Clamp(there, 0, 1)))} that it lies in the house, most likely {string.Join(" or ", house.OrderByDescending(h => h.Faulty).Take(2).Select(h => Fault(names, h)))}; {Words.Band(Math.Clamp(here, 0, 1))} that it is in what came.")));
            lines.Add(new(Prove, Said($"{Cap(Words.Band(Math.Clamp(1 - here, 0, 1)))} that the proof passes as the set stands; it takes {Words.Minutes(Doubt.Attended(sheet))}{(best is null ? "" : $", and the best look spares {Words.Minutes(best.SavesMinutes)} for the {Words.Minutes(best.Minutes)} it costs")}.")));
        }
        return lines.ToImmutable();
    }

    /// <summary>Going on costs more than is left of what was agreed; or, before anything is agreed, more than the set was declared at.</summary>
    /// <param name="proof">Minutes of one proof: paid for by the fixed work already.</param>
    private static string? NotWorth(ShopState state, string job, WayAhead ahead, double proof, PriceSpread? spread, Agreement agreement)
    {
        var terms = new ShopTerms().For(state, job);
        var minutes = Math.Max(0, ahead.Minutes - proof);
        var rest = ShopTerms.Cents(minutes / 60 * terms.Hourly * terms.Tax);
        var (spent, shown) = (spread?.Spent ?? 0, Money(rest));
        if (rest == 0) return null;
        if (agreement.Ceiling is { } top)
            return rest > top - spent ? Said($"About {shown} more to find and mend it ({Words.Minutes(minutes)}), and {Money(Math.Max(0, top - spent))} are left of the {Money(top)} agreed: call the owner, or stop here.") : null;
        var declared = state.TapeOf(job).Select(e => e.Act).OfType<TermsSet>().LastOrDefault()?.InsuredValue;
        return declared is { } worth && worth > 0 && rest > worth ? Said($"About {shown} more to find and mend it ({Words.Minutes(minutes)}), and the set is declared at {Money(worth)}: ask the owner what it is worth to them before going on.") : null;

        string Money(decimal sum) => string.Create(CultureInfo.InvariantCulture, $"{Math.Round(sum):0} {terms.Currency}");
    }

    private static string? Quotable(Posterior belief, PriceSpread spread)
    {
        var sure = belief.MostProbable.FirstOrDefault() is { Faults.IsEmpty: false } set ? set.Probability : 0;
        if (sure < SetSure && !(spread.P50 > 0 && spread.P90 - spread.P10 <= (decimal)PriceWithin * spread.P50)) return null;
        return Said($"{(sure >= SetSure ? $"{Cap(Words.Band(Math.Min(1, sure)))} that what is wrong is known; the" : "The")} whole comes to {(Math.Round(spread.P10) == Math.Round(spread.P90) ? "about" : $"{Math.Round(spread.P10):0} to")} {Math.Round(spread.P90):0} {spread.Currency}, 8 times in 10 at least.");
    }

    private static bool InHouse(TypeSheet sheet, BuiltCase built, Namer names, SiteRef site) => site.Piece is { } piece
        ? built.NeverSeen.Contains(piece) || (!Namer.IsStandIn(piece) && !names.IsShops(piece) && sheet.Positions.FirstOrDefault(p => p.Id == names.HomeOf(piece)) is { House: true })
        : site.System == built.System && (sheet.Positions.FirstOrDefault(p => p.Id == site.Position) is { House: true } || built.Maps[built.System].GetValueOrDefault(site.Position!) is not { } seated || Namer.IsStandIn(seated));

    private static string Fault(Namer names, SiteBelief site) => names.Fault(site.Site, site.Now.Where(m => m.Key != "good").MaxBy(m => m.Value).Key);

    private static string Cap(string words) => words.Length == 0 ? words : char.ToUpperInvariant(words[0]) + words[1..];

    private static string Said(FormattableString words) => words.ToString(CultureInfo.InvariantCulture);
}
