using System.Collections.Immutable;
using Bellwire.Reasoning;
using Bellwire.Sheets;

namespace Bellwire.Counsel;

/// <summary>What not knowing costs. A site that is faulty with probability P and takes m minutes to mend costs, left as it is, the cheapest of three ways out of
/// the doubt: mending it in vain, (1 − P)·m; letting the proof fail on it, P·L with L = <see cref="Missed"/>; or looking at it directly.
/// A look is worth the doubt it is expected to take away; sites are taken one by one (docs/engines/counsel.md).</summary>
internal sealed class Doubt(TypeSheet sheet, BuiltCase built, Namer names, AdviceOptions options)
{
    /// <summary>Going through a piece part by part, for a fault no check names (estimate).</summary>
    public const double GoThroughMinutes = 90;

    /// <summary>A direct look may deceive, and what it finds is looked at again: half as much more than one (estimate).</summary>
    private const double TwoLooks = 1.5;

    /// <summary>Unplugging a connector, plugging it in and looking again (estimate).</summary>
    private const double ReseatMinutes = 6;

    /// <summary>Following up a look in a round that was not good: finding where, or that it was nothing (estimate).</summary>
    private const double FollowUpMinutes = 16;

    /// <summary>A step of a proof longer than this runs while nobody stands by (common practice, no source).</summary>
    private const double LongestAttended = 30;

    /// <summary>Finding what a proof failed on, with what was put away set up anew (estimate).</summary>
    private const double FindingMinutes = 30;

    /// <summary>L: what a fault that is still there costs when the proof fails on it. The proof tried in its best order until it fails, and then finding it.</summary>
    public double Missed { get; private set; } = options.MissedMinutes ?? Attended(sheet);

    private readonly ImmutableDictionary<string, string> here = built.Maps[built.System];
    private readonly Dictionary<SiteRef, double?> mend = [];
    private readonly Dictionary<SiteRef, double> settle = [], left = [];

    /// <summary>True for what can be mended on this bench: the owner's pieces that came and the places they sit in.</summary>
    public bool Counts(SiteRef site) => MendMinutes(site) is not null;

    /// <summary>Minutes of doubt a move takes away, on average over what it may show.</summary>
    public double TakenAway(MoveValue value) => value.Outcomes.Sum(o => o.Value * value.After.GetValueOrDefault(o.Key, []).Sum(a => Counts(a.Site) ? Of(a.Site, a.Now) - Of(a.Site, a.Then) : 0));

    /// <summary>Takes up what would be left to the proof as things stand: the sites less likely at fault than it is worth mending them for.</summary>
    public void Know(Posterior belief, ProofOrder proof)
    {
        if (options.MissedMinutes is null && !proof.Steps.IsEmpty) Missed = proof.MinutesIfItFails + FindingMinutes;
        left.Clear();
        foreach (var s in belief.Sites)
            if (MendMinutes(s.Site) is { } m && s.Faulty < WorthMending(m)) left[s.Site] = s.Faulty;
    }

    /// <summary>Minutes of failed proof that a round of looks spares: for the first look, the first two, and so on. One by one it does not show, for no single one
    /// makes the proof safe: L times the chance that it fails now, less L times the chance that it fails though all looks were good, less what it takes to follow up
    /// one that was not. Looks at what is bad anyway say nothing of the rest and add nothing. Sites are taken as independent, and looks as independent given the sites.</summary>
    /// <param name="looks">In the order they are made, the first outcome of each the good one.</param>
    public double[] OfRound(IEnumerable<(MoveValue Value, CheckSpec Check)> looks)
    {
        var odds = left.ToDictionary(s => s.Key, s => s.Value / (1 - s.Value));
        var sound = Sound(odds.Values);
        var right = 1.0;
        return [.. looks.Select(look =>
        {
            var good = look.Check.Outcomes[0];
            if (look.Value.Outcomes.GetValueOrDefault(good) >= 0.5)
            {
                right *= look.Check.Matrix[good].Values.Max();
                foreach (var a in look.Value.After.GetValueOrDefault(good, []))
                    if (a.Now > 0 && a.Then < 1 && odds.TryGetValue(a.Site, out var before)) odds[a.Site] = before * (a.Then / (1 - a.Then)) / (a.Now / (1 - a.Now));
            }
            // By Bayes: P(all good) = P(all good | sound) · P(sound) / P(sound | all good).
            var soundThen = Sound(odds.Values);
            var allGood = Math.Min(1, right * sound / soundThen);
            return Missed * (1 - sound) - allGood * Missed * (1 - soundThen) - (1 - allGood) * FollowUpMinutes;
        })];
    }

    private static double Sound(IEnumerable<double> odds) => odds.Aggregate(1.0, (q, o) => q / (1 + o));

    /// <summary>Surer than this, mending costs less than leaving it to the proof.</summary>
    public double WorthMending(double mendMinutes) => mendMinutes / (mendMinutes + Missed);

    private double Of(SiteRef site, double p) => MendMinutes(site) is { } m ? Math.Min(Settling(site), Math.Min((1 - p) * m, p * Missed)) : 0;

    /// <summary>Minutes of looking at it directly, set-up and all; without bound where nothing but signals tells of it.</summary>
    private double Settling(SiteRef site)
    {
        if (settle.TryGetValue(site, out var known)) return known;
        var position = site.Position ?? here.FirstOrDefault(h => h.Value == site.Piece).Key;
        var direct = sheet.Checks.Where(c => c.How != "ask" && c.TargetKind == "site" && c.Target == $"{position}.{site.Site}").Select(c => c.Minutes + SetUp(c)).DefaultIfEmpty(double.PositiveInfinity).Min();
        if (double.IsInfinity(direct) && site.Position is { } at && sheet.Family.Positions.FirstOrDefault(p => p.Id == at) is { RedrawChance: > 0 } spec && spec.ContactSite == site.Site) direct = ReseatMinutes;
        return settle[site] = TwoLooks * direct;
    }

    private double SetUp(CheckSpec check) => check.Bundle is { } bundle ? sheet.Bundles.FirstOrDefault(b => b.Id == bundle)?.SetUpMinutes ?? 1 : 0;

    /// <summary>Minutes of mending it, the longest of its faults; null for what cannot be mended on this bench.</summary>
    public double? MendMinutes(SiteRef site)
    {
        if (mend.TryGetValue(site, out var known)) return known;
        return mend[site] = Find(site);
    }

    /// <summary>Attended minutes of the sheet's proof; 40 where it has none (estimate): what a failed proof costs.</summary>
    public static double Attended(TypeSheet sheet) =>
        sheet.Proof.Where(p => p.Minutes <= LongestAttended).Sum(p => p.Minutes) is > 0 and var all ? all : 40;

    private double? Find(SiteRef site)
    {
        if (site.Piece is { } piece)
        {
            // What came counts wherever it lies now; what stayed in the house does not.
            if ((built.NeverSeen.Contains(piece) && !here.ContainsValue(piece)) || Namer.IsStandIn(piece) || names.IsShops(piece) || names.IsOut(piece)) return null;
            if (site.Site == "other") return GoThroughMinutes;
            var kind = built.Case.Pieces.First(p => p.Id == piece).Kind;
            return Longest(sheet.Faults.Where(f => f.Kind == kind && f.Position is null && f.Site == site.Site));
        }
        if (site.System != built.System || !here.TryGetValue(site.Position!, out var seated) || Namer.IsStandIn(seated)) return null;
        return Longest(sheet.Faults.Where(f => f.Position == site.Position && f.Site == site.Site));
    }

    private static double Longest(IEnumerable<FaultInfo> faults) => faults.Select(f => f.MendMinutes).DefaultIfEmpty(10).Max();
}
