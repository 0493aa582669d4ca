using System.Collections.Immutable;
using Bellwire.Reasoning;
using Bellwire.Sheets;
using Bellwire.Workshop;

namespace Bellwire.Counsel;

/// <summary>What putting right one piece, or one position's own sites, would cost: the getting at it once, each fault by itself.</summary>
/// <param name="Key">As the bench names its suspects.</param>
/// <param name="Shared">Minutes of taking it out and putting it back: once, however many faults are in it.</param>
/// <param name="Price">Price of a piece that goes in instead, less the core taken in.</param>
/// <param name="Each">Site → mode → minutes and parts of that fault alone. Passing troubles and faults in the house are not in it.</param>
internal sealed record CostGroup(
    string Key, string Name, string Kind, string? Position, string Way, double Shared, double Price,
    ImmutableDictionary<SiteRef, ImmutableDictionary<string, FaultCost>> Each)
{
    public bool Mends => Way == Ways.Mend;

    public double PartOf(double hourly, bool anyFault) => !anyFault || Way == Ways.Decline ? 0 : Shared / 60 * hourly + (Mends ? 0 : Price);
}

/// <param name="Minutes">Until it holds: minutes of one try over its chance to hold.</param>
internal sealed record FaultCost(string Words, double Minutes, string? Part, double PartCost, string? DonorOnly);

/// <summary>The costs of every fault the shop could be asked to put right in what is here.</summary>
internal sealed class CostBook
{
    private readonly Dictionary<string, CostGroup> bySite = [];
    private readonly ShopTerms terms;

    public ImmutableArray<CostGroup> Groups { get; }

    public CostBook(ShopState state, string job, TypeSheet sheet, Weighed weighed, ShopTerms terms, IReadOnlyDictionary<string, WayChosen> ways)
    {
        this.terms = terms;
        var belief = weighed.Weighing.Posterior ?? throw new InvalidOperationException("The tape contradicts itself; nothing can be priced until that is mended.");
        var names = new Namer(state, sheet, weighed.Built);
        var swapped = state.TapeOf(job).Select(e => e.Act).OfType<Exchanged>().Select(x => x.Core).ToHashSet();
        Groups = [.. belief.Sites.Where(s => InReach(state, job, sheet, weighed.Built, s.Site) && !(s.Site.Piece is { } p && swapped.Contains(p)))
            .GroupBy(s => names.Key(s.Site)).Select(g => Group(g.Key, g, state, sheet, names, ways.GetValueOrDefault(g.Key))).Where(g => g.Each.Count > 0)];
        foreach (var group in Groups)
            foreach (var site in group.Each.Keys) bySite[site.ToString()] = group;
    }

    /// <summary>The owner's pieces that are here or still to come with the set, and the set's own positions outside the walls of the house.</summary>
    private static bool InReach(ShopState state, string job, TypeSheet sheet, BuiltCase built, SiteRef site)
    {
        if (site.Piece is not { } piece) return site.System == built.System && sheet.Positions.FirstOrDefault(p => p.Id == site.Position) is { House: false };
        if (Namer.IsStandIn(piece)) return false;
        if (state.Pieces.TryGetValue(piece, out var known)) return known.Owner == Party.OwnerOf(job) && !known.Gone && known.Where.Place != Places.House;
        return built.Maps[built.System].FirstOrDefault(m => m.Value == piece).Key is { } at && sheet.Positions.FirstOrDefault(p => p.Id == at) is { House: false };
    }

    private CostGroup Group(string key, IEnumerable<SiteBelief> sites, ShopState state, TypeSheet sheet, Namer names, WayChosen? way)
    {
        var first = sites.First().Site;
        var seat = first.Piece is { } piece ? names.SeatOf(piece)?.Position ?? sheet.Positions.FirstOrDefault(p => piece.EndsWith("-" + p.Id, StringComparison.Ordinal))?.Id : first.Position;
        var kind = first.Piece is { } x && state.Pieces.TryGetValue(x, out var known) ? known.Kind : sheet.Positions.FirstOrDefault(p => p.Id == seat)?.Kind ?? "";
        var info = sheet.Positions.FirstOrDefault(p => p.Id == seat) ?? sheet.Positions.FirstOrDefault(p => p.Kind == kind);
        var each = sites.ToImmutableDictionary(s => s.Site, s => s.Now.Keys.Where(m => m != "good").Select(m => (Mode: m, Info: names.Info(s.Site, m)))
            .Where(m => m.Info is not { Passing: true }).ToImmutableDictionary(m => m.Mode, m => Cost(names, s.Site, m.Mode, m.Info))).Where(s => s.Value.Count > 0).ToImmutableDictionary();
        var worth = info?.Worth ?? 0;
        var chosen = way?.Way ?? Ways.Mend;
        return new(key, names.KeyName(first), kind, seat, chosen, first.Piece is null ? 0 : info?.SwapMinutes ?? 10, chosen == Ways.CoreKept ? worth * (1 - terms.CoreShare) : worth, each);
    }

    private FaultCost Cost(Namer names, SiteRef site, string mode, FaultInfo? info) =>
        new(names.Fault(site, mode), (info?.MendMinutes ?? terms.UnknownMinutes) / Math.Max(0.05, info?.MendSuccess ?? 0.95), info?.Part, info?.PartCost ?? terms.UnknownPart, info?.DonorOnly);

    /// <summary>Money, before tax, to put right the faults of one set that lie within reach.</summary>
    public double Of(FaultSet set)
    {
        var sum = 0.0;
        var touched = new HashSet<string>();
        foreach (var (site, mode) in set.Faults)
        {
            if (!bySite.TryGetValue(site.ToString(), out var group) || !group.Each[site].TryGetValue(mode, out var cost)) continue;
            if (touched.Add(group.Key)) sum += group.PartOf(terms.Hourly, true);
            if (group.Mends) sum += cost.Minutes / 60 * terms.Hourly + cost.PartCost;
        }
        return sum;
    }

    /// <summary>The exact mean of <see cref="Of"/> under the posterior: marginals for what each fault costs by itself,
    /// the chance of any fault in a piece for what is paid once.</summary>
    public double Mean(Weighing weighing)
    {
        var now = weighing.Posterior!.Sites.ToDictionary(s => s.Site.ToString(), s => s.Now);
        return Groups.Sum(g => Any(weighing, g) * g.PartOf(terms.Hourly, true)
            + (g.Mends ? g.Each.Sum(s => s.Value.Sum(m => now[s.Key.ToString()].GetValueOrDefault(m.Key) * (m.Value.Minutes / 60 * terms.Hourly + m.Value.PartCost))) : 0));
    }

    /// <summary>P(anything lasting is wrong in the group).</summary>
    public static double Any(Weighing weighing, CostGroup group) =>
        Exactly.AnyOf(weighing, [.. group.Each.Select(s => (s.Key, s.Value.Keys.ToImmutableHashSet()))]);
}
