using Bellwire.Reasoning;
using Bellwire.Sheets;
using Bellwire.Workshop;

namespace Bellwire.Counsel;

/// <summary>Sites, pieces and modes as a technician would say them.</summary>
internal sealed class Namer(ShopState state, TypeSheet sheet, BuiltCase built)
{
    private readonly Dictionary<string, (string System, string Position)> seats = built.Maps
        .SelectMany(m => m.Value.Select(p => (Piece: p.Value, Seat: (m.Key, p.Key)))).ToDictionary(p => p.Piece, p => p.Seat);

    public (string System, string Position)? SeatOf(string piece) => seats.TryGetValue(piece, out var seat) ? seat : null;

    public bool IsShops(string piece) => state.Pieces.TryGetValue(piece, out var p) ? p.Owner == Party.Shop : IsStandIn(piece) && SeatOf(piece)?.System != built.System;

    private readonly Lazy<HashSet<string>> cores = new(() => [.. state.Effective.Select(e => e.Act).OfType<Exchanged>().Select(a => a.Core).OfType<string>()]);

    /// <summary>A piece that is not to be mended any more on this bench: gone, back in the house, or the core of a swap that stays.</summary>
    public bool IsOut(string piece) => state.Pieces.TryGetValue(piece, out var p) && (p.Gone || p.Where.Place == Places.House || (p.Where.System is null && cores.Value.Contains(piece)));

    /// <summary>What the bench puts in place of a piece that stayed in the house.</summary>
    public static bool IsStandIn(string piece) => piece.StartsWith("bench:", StringComparison.Ordinal);

    public string Piece(string piece)
    {
        var name = state.Pieces.TryGetValue(piece, out var p) ? p.Name
            : SeatOf(piece) is { } seat ? PositionName(seat.Position)
            : sheet.Positions.FirstOrDefault(x => piece.EndsWith("-" + x.Id, StringComparison.Ordinal))?.Name ?? piece;
        return IsShops(piece) ? $"{name} (the shop’s)" : IsStandIn(piece) ? $"{name} (bench stand-in)" : name;
    }

    /// <summary>Where a piece sits, or sat in the owner's house.</summary>
    public string? HomeOf(string piece) => SeatOf(piece)?.Position
        ?? built.Case.Systems.First(s => s.Id == built.System).InitialPieces.FirstOrDefault(p => p.Value == piece).Key;

    public string PositionName(string position) => sheet.Positions.FirstOrDefault(p => p.Id == position)?.Name ?? position;

    public string Where(SiteRef site)
    {
        var seat = site.Piece is { } piece ? SeatOf(piece) : (site.System!, site.Position!);
        if (seat is not { } at) return site.Piece is { } lying && state.Pieces.TryGetValue(lying, out var p) ? p.Where.ToString() : "in the house";
        if (site.Piece is null && at.System == built.System && sheet.Positions.FirstOrDefault(p => p.Id == at.Position)?.House == true) return "in the house";
        return at.System == built.System ? "in the set" : "in the mule";
    }

    /// <summary>"reservoir dry", "contact of the display open".</summary>
    public string Fault(SiteRef site, string mode)
    {
        var kind = site.Piece is { } piece ? built.Case.Pieces.FirstOrDefault(p => p.Id == piece)?.Kind : null;
        var info = Info(site, kind, mode);
        var words = info?.Words ?? (site.Site == "other" ? "a fault the sheet does not know" : $"{SiteName(site, kind)} {mode}");
        var whose = site.Piece is { } shop && IsShops(shop) ? $"{words} in the shop’s {Piece(shop).Replace(" (the shop’s)", "")}" : words;
        return site.Site == "other" && site.Piece is { } p ? $"{words} in {Piece(p)}"
            : site.Piece is { } one && !IsShops(one) && HomeOf(one) is { } home && sheet.Positions.Count(x => x.Kind == kind) > 1
                ? $"{whose} ({PositionName(home)})"
            : site.Piece is null && site.Site == "contact" && info?.Words is null ? $"{PositionName(site.Position!)}: contact {mode}" : whose;
    }

    public FaultInfo? Info(SiteRef site, string mode) =>
        Info(site, site.Piece is { } piece ? built.Case.Pieces.FirstOrDefault(p => p.Id == piece)?.Kind : null, mode);

    private FaultInfo? Info(SiteRef site, string? kind, string mode) => sheet.Faults.FirstOrDefault(f =>
        f.Site == site.Site && f.Mode == mode && (site.Piece is not null ? f.Position is null && f.Kind == kind : f.Position == site.Position));

    public string SiteName(SiteRef site) => SiteName(site, site.Piece is { } piece ? built.Case.Pieces.FirstOrDefault(p => p.Id == piece)?.Kind : null);

    private string SiteName(SiteRef site, string? kind) => site.Piece is not null
        ? sheet.Family.Kinds.FirstOrDefault(k => k.Id == kind)?.Sites.FirstOrDefault(s => s.Id == site.Site)?.Name ?? site.Site
        : sheet.Family.Positions.FirstOrDefault(p => p.Id == site.Position)?.Sites.FirstOrDefault(s => s.Id == site.Site)?.Name ?? site.Site;

    /// <summary>Where a site belongs on the drawing.</summary>
    public string Key(SiteRef site) => site.Piece ?? $"{site.System}/{site.Position}";

    public string KeyName(SiteRef site) => site.Piece is { } piece ? Piece(piece) : $"{PositionName(site.Position!)}: connector, wiring or setting";
}
