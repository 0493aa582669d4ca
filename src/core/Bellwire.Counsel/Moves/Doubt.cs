using System.Collections.Immutable;
using Bellwire.Reasoning;
using Bellwire.Sheets;

namespace Bellwire.Counsel;

/// <summary>What not knowing costs. A site that is faulty with probability P and takes m minutes to mend costs, left as it is, the
/// cheaper of two mistakes: mending it in vain, (1 − P)·m, or letting the proof fail on it, P·L with L = <see cref="AdviceOptions.MissedMinutes"/>.
/// A look is worth the doubt it is expected to take away; sites are taken one by one (docs/engines/counsel.md).</summary>
internal sealed class Doubt(TypeSheet sheet, BuiltCase built, Namer names, AdviceOptions options)
{
    /// <summary>Going through a piece part by part, for a fault no check names (estimate).</summary>
    public const double GoThroughMinutes = 90;

    /// <summary>A step of a proof longer than this runs while nobody stands by (common practice, no source).</summary>
    private const double LongestAttended = 30;

    /// <summary>Minutes of a proof that fails.</summary>
    public double Missed => missed;

    private readonly double missed = options.MissedMinutes ?? Attended(sheet);
    private readonly ImmutableDictionary<string, string> here = built.Maps[built.System];
    private readonly Dictionary<SiteRef, double?> mend = [];
    private double? sound; // unknown until taken up: then proofs are left out

    /// <summary>True for what can be mended on this bench: the owner's pieces that came and the places they sit in.</summary>
    public bool Counts(SiteRef site) => MendMinutes(site) is not null;

    /// <summary>Minutes of doubt a move takes away, on average over what it may show.</summary>
    public double TakenAway(MoveValue value) => value.Outcomes.Sum(o =>
    {
        var moved = value.After.GetValueOrDefault(o.Key, []);
        var proof = 0.0;
        if (sound is { } now)
        {
            var then = moved.Where(a => Counts(a.Site)).Aggregate(now, (q, a) => q * (1 - a.Then) / Math.Max(1e-9, 1 - a.Now));
            proof = InVain(now) - InVain(Math.Clamp(then, 0, 1));
        }
        return o.Value * (proof + moved.Sum(a => MendMinutes(a.Site) is { } m ? Of(a.Now, m) - Of(a.Then, m) : 0));
    });

    /// <summary>Takes up how likely it is that nothing on the bench is wrong (sites taken as independent).</summary>
    public void Know(Posterior belief) => sound = belief.Sites.Where(s => Counts(s.Site)).Aggregate(1.0, (q, s) => q * (1 - s.Faulty));

    /// <summary>The doubt whether to prove now: a proof in vain where something is wrong, or going on looking where nothing is. Site by site it does not show:
    /// that a function fails may make no single site likely, and yet it spares the proof that would have failed on it.</summary>
    private double InVain(double q) => missed * Math.Min(q, 1 - q);

    /// <summary>Surer than this, mending costs less than leaving it to the proof.</summary>
    public double WorthMending(double mendMinutes) => mendMinutes / (mendMinutes + missed);

    private double Of(double p, double mendMinutes) => Math.Min((1 - p) * mendMinutes, p * missed);

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
