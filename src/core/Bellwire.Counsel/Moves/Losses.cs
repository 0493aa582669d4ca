using Bellwire.Reasoning;
using Bellwire.Sheets;

namespace Bellwire.Counsel;

/// <summary>What a killed piece costs.</summary>
internal sealed class Losses(TypeSheet sheet, BuiltCase built, Namer names, AdviceOptions options)
{
    /// <summary>Money: the worth of the piece at its place; more for a shop's own piece and for one that only another set could replace.</summary>
    public double Worth(SiteRef site)
    {
        var position = site.Piece is { } piece ? names.SeatOf(piece)?.Position ?? names.HomeOf(piece) : site.Position;
        var worth = sheet.Positions.FirstOrDefault(p => p.Id == position)?.Worth ?? 40;
        if (site.Piece is { } shop && names.IsShops(shop)) return worth * options.ShopPieceFactor;
        var kind = site.Piece is { } own ? built.Case.Pieces.FirstOrDefault(p => p.Id == own)?.Kind : null;
        return kind is not null && sheet.Faults.Any(f => f.Kind == kind && f.DonorOnly is not null) ? worth * options.DonorOnlyFactor : worth;
    }

    /// <summary>Minutes expected over the chance of the kill: its worth at the shop's hourly value, and putting it right again.</summary>
    public double Minutes(SiteRef site, double chance) => chance * (Worth(site) / options.HourlyValue * 60 + MendMinutes(site));

    private double MendMinutes(SiteRef site)
    {
        var kind = site.Piece is { } piece ? built.Case.Pieces.FirstOrDefault(p => p.Id == piece)?.Kind : null;
        return sheet.Faults.Where(f => f.Site == site.Site && (kind is null ? f.Position == site.Position : f.Kind == kind && f.Position is null)).Select(f => f.MendMinutes).DefaultIfEmpty(0).Max();
    }
}
