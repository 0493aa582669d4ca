using System.Collections.Immutable;
using System.Text.RegularExpressions;
using Bellwire.Workshop;

namespace Bellwire.Counsel.Mends;

/// <param name="Position">Where it sits in the set; null when the piece lies elsewhere.</param>
/// <param name="Fault">As the bench's form names it: piece/site/mode or position/site/mode.</param>
/// <param name="Part">What the sheet says is needed; null when nothing is.</param>
/// <param name="Rule">The rule the part seems to fall under, or null.</param>
public sealed partial record SureMend(string? Position, string? Piece, string Fault, string Words, string Band, double Minutes, string? Part, double Cost, string? DonorOnly, string? Rule)
{
    /// <summary>The part's marks as the rule's fields, ready for an address: "marked=2200&amp;volts=35"; empty when its words hold none.</summary>
    public string Asked => Part is not null && Rule == "electrolytic" && Marks().Match(Part) is { Success: true } m ? $"marked={m.Groups["c"].Value}&volts={m.Groups["v"].Value}" : "";

    [GeneratedRegex(@"(?<c>\d+(?:\.\d+)?)\s*[uµ]F\s+(?<v>\d+)\s*V")]
    private static partial Regex Marks();
}

/// <summary>Sites surer than nine in ten to be faulty: mending them tells as much as another look.</summary>
public static class SureMends
{
    private const double SureEnough = 0.9;

    /// <param name="state">The state that <paramref name="weighed"/> was weighed in.</param>
    public static ImmutableArray<SureMend> Of(ShopState state, Sheets.TypeSheet sheet, Counsel.Weighed weighed)
    {
        ArgumentNullException.ThrowIfNull(weighed);
        if (weighed.Weighing.Posterior is not { } belief) return [];
        var names = new Namer(state, sheet, weighed.Built);
        return
        [
            .. from site in belief.Sites
               where site.Faulty >= SureEnough && site.Site.Site != "other" && (site.Site.Piece is not { } piece || !(names.IsShops(piece) || names.IsOut(piece)))
               where site.Site.System is null || site.Site.System == weighed.Built.System
               let mode = site.Now.Where(m => m.Key != "good").MaxBy(m => m.Value)
               let info = names.Info(site.Site, mode.Key)
               where info is not null
               let seat = site.Site.Piece is { } p ? names.SeatOf(p) : (weighed.Built.System, site.Site.Position!)
               orderby mode.Value descending, info.Words
               select new SureMend(seat is { } s && s.System == weighed.Built.System ? s.Position : null, site.Site.Piece,
                   $"{(site.Site.Piece is null ? "position" : "piece")}/{site.Site.Site}/{mode.Key}", names.Fault(site.Site, mode.Key), Quantities.Words.Band(Math.Clamp(mode.Value, 0, 1)),
                   info.MendMinutes, info.Part, info.PartCost, info.DonorOnly, RuleFor(info.Part)),
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
