using System.Collections.Immutable;
using System.Globalization;
using Bellwire.Quantities;
using Bellwire.Reasoning;
using Bellwire.Sheets;
using Bellwire.Workshop;

namespace Bellwire.Counsel;

/// <summary>What should travel. The set travels whole, in one parcel; it is worth its freight when what it may mend is, and when sending it first is expected to cost
/// less than having the house looked at first. A station rides along when a second parcel for it, weighed by its odds, costs more than taking it along in vain.</summary>
internal sealed class SendPlan
{
    /// <summary>Less likely than this, a fault in the house is no reason to wait with the parcel.</summary>
    private const double LeastHouse = 0.02;

    /// <summary>One of what can be decided by itself: the set, or one station.</summary>
    private sealed record Group(string Key, ImmutableArray<SiteRef> Sites, double P, double InVain, double Missed);

    private readonly TypeSheet sheet;
    private readonly SendTerms terms;
    private readonly Group set;
    private readonly ImmutableArray<Group> stations;
    private readonly double house, passing;
    private readonly ImmutableDictionary<string, double> each;

    /// <summary>From here on a piece of the set is named as a suspect of its own (estimate).</summary>
    private const double Named = 0.05;

    public SendPlan(ShopState state, string job, TypeSheet sheet, Weighed weighed, bool acrossBorder)
    {
        (this.sheet, terms) = (sheet, SendTerms.Of(state, job, acrossBorder));
        var belief = weighed.Weighing.Posterior!;
        var (built, map) = (weighed.Built, weighed.Built.Maps[weighed.Built.System]);
        var names = new Namer(state, sheet, built);
        double Any(IEnumerable<SiteBelief> sites, bool lasting) => Exactly.AnyOf(weighed.Weighing,
            [.. sites.Select(s => (s.Site, s.Now.Keys.Where(m => m != "good" && names.Info(s.Site, m) is { Passing: true } == !lasting).ToImmutableHashSet())).Where(s => s.Item2.Count > 0)]);
        List<SiteBelief> At(PositionInfo p) => [.. belief.Sites.Where(s => s.Site.Piece is { } piece ? (map.GetValueOrDefault(p.Id) is { } seat && !Namer.IsStandIn(seat) ? seat == piece : names.HomeOf(piece) == p.Id && !Namer.IsStandIn(piece)) : s.Site.System == built.System && s.Site.Position == p.Id)];
        List<SiteBelief> inSet = [.. sheet.Positions.Where(p => p.TravelsByPost && !p.House).SelectMany(At)];
        each = sheet.Positions.Where(p => p.TravelsByPost && !p.House).ToImmutableDictionary(p => p.Id, p => Any(At(p), true));
        set = new("", [.. inSet.Select(s => s.Site)], Any(inSet, true), terms.Parcel + terms.Minutes(terms.Handling), Math.Max(0, terms.Worth - terms.Parcel));
        var second = 2 * terms.SmallOneWay + terms.Border + terms.Minutes(terms.Handling / 2);
        stations = [.. sheet.Positions.Where(p => !p.TravelsByPost && !p.House).Select(p => (p.Id, Sites: At(p)))
            .Select(x => new Group(x.Id, [.. x.Sites.Select(s => s.Site)], Any(x.Sites, true), 2 * terms.PieceOneWay + terms.TakingDown + terms.Minutes(terms.CheckMinutes), second))];
        house = Any(sheet.Positions.Where(p => p.House).SelectMany(At), true);
        passing = Any(belief.Sites, false);
        AnythingToSend = Any(inSet.Concat(sheet.Positions.Where(p => !p.TravelsByPost && !p.House).SelectMany(At)), true);
    }

    /// <summary>P(something that would travel has a lasting fault).</summary>
    public double AnythingToSend { get; }

    /// <summary>Minutes that an answer is expected to spare by sending, or keeping at home, the right things.</summary>
    public double Spared(MoveValue value)
    {
        double money = 0;
        foreach (var g in stations.Append(set))
            money += value.Outcomes.Sum(o => o.Value * (Doubt(g, g.P) - Doubt(g, Then(g, value.After.GetValueOrDefault(o.Key, [])))));
        return Math.Max(0, money) / terms.Hourly * 60;
    }

    private static double Doubt(Group g, double p) => Math.Min((1 - p) * g.InVain, p * g.Missed);

    /// <summary>P(any fault in the group) after an outcome, its sites taken as independent.</summary>
    private static double Then(Group g, ImmutableArray<(SiteRef Site, double Now, double Then)> after)
    {
        var sound = 1 - g.P;
        foreach (var (site, now, then) in after)
            if (g.Sites.Contains(site)) sound *= (1 - then) / Math.Max(1e-9, 1 - now);
        return Math.Clamp(1 - sound, 0, 1);
    }

    public ImmutableArray<SendLine> Lines()
    {
        var (send, why, sums) = Set();
        return [.. sheet.Positions.Select(p =>
        {
            if (p.House) return new SendLine(p.Id, p.Name, false, "stays in the house");
            if (p.TravelsByPost) return new(p.Id, p.Name, send, send && each[p.Id] >= Named ? $"{Words.Band(each[p.Id])} that it is faulty" : why) { Sums = sums };
            var g = stations.First(s => s.Key == p.Id);
            var takes = g.P * g.Missed >= (1 - g.P) * g.InVain;
            return new(p.Id, p.Name, takes, takes ? $"{Words.Band(g.P)} that it is faulty" : "may stay at home")
            { Sums = g.P < LeastHouse ? "" : $"{(takes ? "" : $"{Words.Band(g.P)} that it is faulty; ")}{Money(g.InVain)} to bring it along in vain, {Money(g.Missed)} for a parcel of its own later" };
        })];
    }

    private (bool Send, string Why, string Sums) Set()
    {
        var phone = passing >= 0.1 ? $"; {Words.Band(passing)} that a setting, a switch or a reset is all or part of it: that first, on the telephone" : "";
        if (set.P * terms.Worth < terms.Parcel)
            return (false, "may stay at home: little in the set itself is suspected", $"{Words.Band(set.P)} that anything in it is faulty; the way there and back costs {Money(terms.Parcel)}{phone}");
        var sendFirst = set.InVain + (1 - set.P) * terms.Visit;
        var houseFirst = terms.Visit + (1 - house) * set.InVain;
        if (house >= LeastHouse && houseFirst < sendFirst)
            return (false, "waits until the wiring of the house was looked at", $"{Words.Band(house)} that it lies there, which an electrician sees for about {Money(terms.Visit)}; the parcel costs {Money(set.InVain)} with its handling");
        return (true, "goes with the set", $"{Words.Band(set.P)} that something in it is faulty; {Money(terms.Parcel)} there and back{(terms.Border > 0 ? $", {Money(terms.Border)} of it at the border" : "")}{phone}");
    }

    private string Money(double sum) => string.Create(CultureInfo.InvariantCulture, $"{Math.Round(sum):0} {terms.Currency}");
}
