using System.Collections.Immutable;
using Bellwire.Reasoning;
using Bellwire.Sheets;

namespace Bellwire.Counsel;

/// <summary>Settings and targets as a sheet names them.</summary>
internal static class SheetSettings
{
    public static ImmutableDictionary<string, string> DefaultThrows(this TypeSheet sheet) =>
        sheet.Family.Selectors.ToImmutableDictionary(s => s.Id, s => s.Throws[0]);

    public static ImmutableDictionary<string, string> DefaultCircumstances(this TypeSheet sheet) =>
        sheet.Conditions.ToImmutableDictionary(c => c.Key, c => c.Value[0]);

    /// <summary>As the owner used it: in the house, on the line, warm.</summary>
    public static Setting Home(this TypeSheet sheet, ImmutableDictionary<string, string>? throws = null) => new(
        sheet.DefaultThrows().SetItems(throws ?? ImmutableDictionary<string, string>.Empty),
        sheet.DefaultCircumstances().SetItem("place", "home").SetItem("feed", "line").SetItem("warmth", "warm"));

    /// <summary>What a check reads in this hook-up; null when its position is empty.</summary>
    public static Target? TargetOf(this TypeSheet sheet, CheckSpec check, IReadOnlyDictionary<string, string> map, string system)
    {
        switch (check.TargetKind)
        {
            case "signal": return new Target.OfSignal(check.Target);
            case "cause": return new Target.OfCause(check.Target);
            default:
                var (position, site) = Split(check.Target);
                var ofPosition = sheet.Family.Positions.FirstOrDefault(p => p.Id == position)?.Sites.Any(s => s.Id == site) == true;
                if (ofPosition) return new Target.OfSite(SiteRef.OfPosition(system, position, site));
                return map.TryGetValue(position, out var piece) ? new Target.OfSite(SiteRef.OfPiece(piece, site)) : null;
        }
    }

    public static (string Position, string Site) Split(string target)
    {
        var dot = target.IndexOf('.', StringComparison.Ordinal);
        return dot < 0 ? (target, "") : (target[..dot], target[(dot + 1)..]);
    }
}
