using System.Collections.Immutable;
using System.Globalization;
using Bellwire.Quantities;
using Bellwire.Reasoning;
using Bellwire.Sheets;
using Bellwire.Workshop;

namespace Bellwire.Counsel;

public sealed record OwnerQuestion(string Check, string Words, string Why, double InformationBits, ImmutableArray<(string Outcome, string Says)> Outcomes);

/// <param name="Send">True: pack it. False: it may stay at home.</param>
public sealed record SendLine(string Position, string Piece, bool Send, string Why);

/// <summary>Money to put the system right, as the fault sets stand: for the shop's eyes only, never quoted from a story.</summary>
public sealed record PriceBand(double Mean, double P10, double P50, double P90, double Covered);

/// <summary>Judging a set from its owner's words.</summary>
public static class Afar
{
    public static ImmutableArray<OwnerQuestion> NextQuestions(ShopState state, string job, TypeSheet sheet, Weighed weighed, int most = 5)
    {
        if (weighed.Weighing.Posterior is null) return [];
        var names = new Namer(state, sheet, weighed.Built);
        var candidates = Candidates.OfStory(state, job, sheet, weighed.Built);
        var values = weighed.Weighing.Try([.. candidates.Select(c => c.Move)]);
        return [.. candidates.Zip(values).OrderByDescending(x => x.Second.InformationBits).Take(most).Select(x => new OwnerQuestion(
            x.First.Check.Id, sheet.OwnerChecks.GetValueOrDefault(x.First.Check.Id, x.First.Check.Words), Why(x.Second, names), x.Second.InformationBits,
            [.. x.First.Check.Outcomes.Select(o => (o, x.First.Check.Says.GetValueOrDefault(o, o)))]))];
    }

    private static string Why(MoveValue value, Namer names)
    {
        var most = value.After.Values.SelectMany(a => a).OrderByDescending(a => Math.Abs(a.Then - a.Now)).FirstOrDefault();
        return most.Site is null || Math.Abs(most.Then - most.Now) < 0.01 ? "Rounds off the story." : $"Decides most about {names.KeyName(most.Site)}.";
    }

    /// <summary>The chassis travels when what is in it is suspected at all; a station or door only when it is itself; what is built in stays.</summary>
    public static ImmutableArray<SendLine> WhatToSend(ShopState state, string job, TypeSheet sheet, Weighed weighed)
    {
        if (weighed.Weighing.Posterior is not { } belief) return [];
        var map = weighed.Built.Maps[weighed.Built.System];
        double Faulty(PositionInfo p) => map.TryGetValue(p.Id, out var piece)
            ? 1 - (1 - (belief.Pieces.FirstOrDefault(x => x.Piece == piece)?.Faulty ?? 0))
                * belief.Sites.Where(s => s.Site.Position == p.Id && s.Site.System == weighed.Built.System && !Passing(sheet, s)).Aggregate(1.0, (q, s) => q * (1 - s.Faulty)) : 0;
        var chassis = sheet.Positions.Where(p => p.TravelsByPost && !p.House).ToList();
        var inChassis = 1 - chassis.Aggregate(1.0, (q, p) => q * (1 - Faulty(p)));
        var travels = inChassis >= 0.15;
        return [.. sheet.Positions.Select(p =>
        {
            var f = Faulty(p);
            if (p.House) return new SendLine(p.Id, p.Name, false, "stays in the house");
            if (p.TravelsByPost) return new(p.Id, p.Name, travels, travels ? (f >= 0.05 ? $"{Words.Band(f)} that it is faulty" : "goes with the set") : "nothing in the set itself is suspected: it may stay at home");
            return new(p.Id, p.Name, f >= 0.25, f >= 0.25 ? $"{Words.Band(f)} that it is faulty" : "may stay at home");
        })];
    }

    private static bool Passing(TypeSheet sheet, SiteBelief site) =>
        sheet.Faults.Any(f => f.Position == site.Site.Position && f.Site == site.Site.Site) && sheet.Faults.Where(f => f.Position == site.Site.Position && f.Site == site.Site.Site).All(f => f.Passing);

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
