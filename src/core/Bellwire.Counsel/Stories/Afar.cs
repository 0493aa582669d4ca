using System.Collections.Immutable;
using System.Globalization;
using Bellwire.Quantities;
using Bellwire.Reasoning;
using Bellwire.Sheets;
using Bellwire.Workshop;

namespace Bellwire.Counsel;

/// <param name="SavesMinutes">Minutes of bench work, parcels and needless mending at the hourly rate that the answer is expected to spare.</param>
public sealed record OwnerQuestion(string Check, string Words, string Why, double InformationBits, double SavesMinutes, ImmutableArray<(string Outcome, string Says)> Outcomes)
{
    /// <summary>What each answer would change, as often as it is expected.</summary>
    public ImmutableArray<OutcomeLine> Changes { get; init; } = [];
}

/// <param name="Send">True: pack it. False: it may stay at home.</param>
public sealed record SendLine(string Position, string Piece, bool Send, string Why)
{
    /// <summary>The sums behind it, estimates for the shop's own eyes: on no owner's paper. Empty when it is not a matter of money.</summary>
    public string Sums { get; init; } = "";
}

/// <summary>What the telephone and the parcel can do before anything is here.</summary>
/// <param name="Questions">The best first.</param>
/// <param name="NoParcel">P(nothing that would travel has a lasting fault); null while the tape contradicts itself.</param>
public sealed record AfarAdvice(ImmutableArray<OwnerQuestion> Questions, ImmutableArray<SendLine> Send, double? NoParcel);

/// <summary>Money to put the system right, as the fault sets stand: for the shop's eyes only, never quoted from a story.</summary>
public sealed record PriceBand(double Mean, double P10, double P50, double P90, double Covered);

/// <summary>Judging a set from its owner's words.</summary>
public static class Afar
{
    /// <summary>A question for which one would not keep the owner on the line: it spares less than half a minute (estimate).</summary>
    private const double LeastSaved = 0.5;

    /// <summary>The questions that spare most, best first: doubt on the bench, and a parcel sent or held back in vain.</summary>
    public static ImmutableArray<OwnerQuestion> NextQuestions(ShopState state, string job, TypeSheet sheet, Weighed weighed, int most = 5, bool acrossBorder = false)
    {
        if (weighed.Weighing.Posterior is not { } belief) return [];
        var names = new Namer(state, sheet, weighed.Built);
        var doubt = new Doubt(sheet, weighed.Built, names, new AdviceOptions());
        var plan = new SendPlan(state, job, sheet, weighed, acrossBorder);
        var candidates = Candidates.OfStory(state, job, sheet, weighed.Built);
        var values = weighed.Weighing.Try([.. candidates.Select(c => c.Move)]);
        return [.. candidates.Zip(values, (c, v) => (Candidate: c, Value: v, Saves: Math.Max(0, doubt.TakenAway(v)) + plan.Spared(v)))
            .OrderByDescending(x => x.Saves).ThenByDescending(x => x.Value.InformationBits).Take(most).Where(x => x.Saves >= LeastSaved).Select(x => new OwnerQuestion(
                x.Candidate.Check.Id, sheet.OwnerChecks.GetValueOrDefault(x.Candidate.Check.Id, x.Candidate.Check.Words), Why(x.Value, x.Saves, names), x.Value.InformationBits, x.Saves,
                [.. x.Candidate.Check.Outcomes.Select(o => (o, x.Candidate.Check.Says.GetValueOrDefault(o, o)))])
            { Changes = [.. x.Value.Outcomes.OrderByDescending(o => o.Value).Select(o => new OutcomeLine(o.Key, o.Value, OutcomeWords.Of(x.Value, o.Key, names)))] })];
    }

    private static string Why(MoveValue value, double saves, Namer names)
    {
        var most = value.After.Values.SelectMany(a => a).OrderByDescending(a => Math.Abs(a.Then - a.Now)).FirstOrDefault();
        return (most.Site is null || Math.Abs(most.Then - most.Now) < 0.01 ? "Rounds off the story" : $"Decides most about {names.KeyName(most.Site)}")
            + $"; spares {Words.Minutes(saves)} on the average.";
    }

    /// <summary>What is worth its freight, and what may stay at home (docs/engines/counsel.md, "From afar").</summary>
    public static ImmutableArray<SendLine> WhatToSend(ShopState state, string job, TypeSheet sheet, Weighed weighed, bool acrossBorder = false) =>
        weighed.Weighing.Posterior is null ? [] : new SendPlan(state, job, sheet, weighed, acrossBorder).Lines();

    /// <summary>All of it; null once the set stands on the bench.</summary>
    public static AfarAdvice? Of(ShopState state, string job, TypeSheet sheet, Weighed weighed, bool acrossBorder = false)
    {
        ArgumentNullException.ThrowIfNull(state);
        return state.Systems.Values.Any(s => s.Job == job) ? null
            : new(NextQuestions(state, job, sheet, weighed, acrossBorder: acrossBorder), WhatToSend(state, job, sheet, weighed, acrossBorder), NoParcel(state, job, sheet, weighed));
    }

    /// <summary>P(no parcel is needed): nothing that would travel has a lasting fault, as the story stands; null when the tape contradicts itself.</summary>
    public static double? NoParcel(ShopState state, string job, TypeSheet sheet, Weighed weighed) =>
        weighed.Weighing.Posterior is null ? null : 1 - new SendPlan(state, job, sheet, weighed, false).AnythingToSend;

    /// <summary>Mean and quantiles over the most probable fault sets; <see cref="PriceBand.Covered"/> says how much of the weight they carry.</summary>
    public static PriceBand? Price(ShopState state, TypeSheet sheet, Weighed weighed, AdviceOptions? options = null)
    {
        if (weighed.Weighing.Posterior is not { MostProbable.Length: > 0 } belief) return null;
        var o = options ?? new AdviceOptions();
        var names = new Namer(state, sheet, weighed.Built);
        var costs = belief.MostProbable.Select(set => (Cost: Cost(set, names, o), set.Probability)).OrderBy(c => c.Cost).ToList();
        var total = costs.Sum(c => c.Probability);
        double Quantile(double q)
        {
            var sum = 0.0;
            foreach (var (cost, p) in costs) if ((sum += p / total) >= q) return cost;
            return costs[^1].Cost;
        }
        return new(costs.Sum(c => c.Cost * c.Probability) / total, Quantile(0.1), Quantile(0.5), Quantile(0.9), Math.Min(1, total));
    }

    private static double Cost(FaultSet set, Namer names, AdviceOptions o)
    {
        var minutes = 0.0;
        var parts = 0.0;
        foreach (var (site, mode) in set.Faults)
        {
            var info = names.Info(site, mode);
            minutes += info?.MendMinutes ?? 45;
            parts += info?.PartCost ?? 20;
        }
        return (o.FixedHours + minutes / 60) * o.HourlyValue + parts;
    }

    public static string Say(PriceBand band, string currency) => string.Create(CultureInfo.InvariantCulture,
        $"{Round(band.P10)} to {Round(band.P90)} {currency}, half of the time under {Round(band.P50)}");

    private static double Round(double money) => Math.Round(money / 10) * 10;

    /// <summary>The first line to say when the story smells of danger; null when nothing in it does.</summary>
    public static string? Danger(IEnumerable<string> words)
    {
        string[] signs = ["smoke", "smoking", "smell", "burn", "tingle", "shock", "spark", "water", "flood", "wet", "hot"];
        return words.Any(w => signs.Any(s => w.Contains(s, StringComparison.OrdinalIgnoreCase)))
            ? "Switch off at the breaker and leave it. Nothing at line voltage is to be opened or measured; local codes and a licensed electrician decide what may be done there." : null;
    }
}
