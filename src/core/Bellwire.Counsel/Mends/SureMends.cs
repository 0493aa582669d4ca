using System.Collections.Immutable;
using System.Text.RegularExpressions;
using Bellwire.Workshop;

namespace Bellwire.Counsel.Mends;

/// <param name="Id">As the bench names the same mend among its moves.</param>
/// <param name="Position">Where it sits in the set; null when the piece lies elsewhere.</param>
/// <param name="Fault">As the bench's form names it: piece/site/mode or position/site/mode.</param>
/// <param name="Part">What the sheet says is needed; null when nothing is.</param>
/// <param name="Rule">The rule the part seems to fall under, or null.</param>
public sealed partial record SureMend(string Id, string? Position, string? Piece, string Fault, string Words, string Band, double Minutes, string? Part, double Cost, string? DonorOnly, string? Rule)
{
    /// <summary>The part's marks as the rule's fields, ready for an address: "marked=2200&amp;volts=35"; empty when its words hold none.</summary>
    public string Asked => Part is not null && Rule == "electrolytic" && Marks().Match(Part) is { Success: true } m ? $"marked={m.Groups["c"].Value}&volts={m.Groups["v"].Value}" : "";

    /// <summary>The words name whose piece it is: one of the shop's own of its kind is on the job as well.</summary>
    public bool NamesWhose { get; init; }

    [GeneratedRegex(@"(?<c>\d+(?:\.\d+)?)\s*[uµ]F\s+(?<v>\d+)\s*V")]
    private static partial Regex Marks();
}

/// <summary>Sites surer than nine in ten to be faulty: mending them tells as much as another look. And what the bench offers to mend for want of a better look.</summary>
public static class SureMends
{
    private const double SureEnough = 0.9;

    /// <param name="state">The state that <paramref name="weighed"/> was weighed in.</param>
    /// <param name="offered">The bench's moves.</param>
    public static ImmutableArray<SureMend> Of(ShopState state, Sheets.TypeSheet sheet, Counsel.Weighed weighed, IEnumerable<MoveLine> offered)
    {
        ArgumentNullException.ThrowIfNull(weighed);
        if (weighed.Weighing.Posterior is not { } belief) return [];
        var names = new Namer(state, sheet, weighed.Built);
        var mends = offered.Where(m => m.Kind == "mend").Select(m => m.Id).ToHashSet();
        return
        [
            .. from site in belief.Sites
               where site.Site.Site != "other" && (site.Site.Piece is not { } piece || !(names.IsShops(piece) || names.IsOut(piece)))
               where site.Site.System is null || site.Site.System == weighed.Built.System
               let mode = site.Now.Where(m => m.Key != "good").MaxBy(m => m.Value)
               let id = $"mend:{site.Site}:{mode.Key}"
               where site.Faulty >= SureEnough || mends.Contains(id)
               let info = names.Info(site.Site, mode.Key)
               where info is not null
               let seat = site.Site.Piece is { } p ? names.SeatOf(p) : (weighed.Built.System, site.Site.Position!)
               let beside = site.Site.Piece is { } own && state.Pieces.TryGetValue(own, out var known) && state.Pieces.Values.Any(x => x.Owner == Party.Shop && x.Kind == known.Kind && x.LentTo == known.Job) ? known : null
               orderby mode.Value descending, info.Words
               select new SureMend(id, seat is { } s && s.System == weighed.Built.System ? s.Position : null, site.Site.Piece,
                   $"{(site.Site.Piece is null ? "position" : "piece")}/{site.Site.Site}/{mode.Key}", beside is null ? names.Fault(site.Site, mode.Key) : $"{info.Words} (the owner’s {Quantities.Words.Inside(beside.Name)})", Quantities.Words.Band(Math.Clamp(mode.Value, 0, 1)),
                   info.MendMinutes, info.Part, info.PartCost, info.DonorOnly, RuleFor(info.Part)) { NamesWhose = beside is not null },
        ];
    }

    /// <summary>A guess from the words of a part list: the person may choose another.</summary>
    public static string? RuleFor(string? part) => part?.ToLowerInvariant() switch
    {
        null => null,
        var p when p.Contains("fuse") => "fuse",
        var p when p.Contains("electrolytic") || p.Contains("uf") || p.Contains("µf") => "electrolytic",
        var p when p.Contains("regulator") => "regulator",
        var p when p.Contains("selenium") => "selenium",
        var p when p.Contains("rectifier") || p.Contains("diode") => "rectifier",
        var p when p.Contains("transformer") => "transformer",
        var p when p.Contains("speaker") => "speaker",
        var p when p.Contains("resistor") => "resistor",
        var p when p.Contains("lamp") => "lamp",
        var p when p.Contains("capacitor") => "film",
        _ => null,
    };
}
