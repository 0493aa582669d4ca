using Bellwire.Counsel;
using Bellwire.Reasoning;

namespace Bellwire.Perf.Benches;

/// <summary>A way to work through a set until it is proved.</summary>
internal interface IOrder
{
    string Name { get; }
    void Work(Day day);
}

/// <summary>The posterior, cut down to what lies on the bench.</summary>
internal static class Belief
{
    public static IEnumerable<SiteBelief> Sites(Posterior belief, BuiltCase built)
    {
        var here = built.Maps[Day.Set];
        return belief.Sites.Where(s => s.Site.Piece is { } p
            ? here.ContainsValue(p) && !p.StartsWith("bench:", StringComparison.Ordinal) && !p.StartsWith("spare-", StringComparison.Ordinal)
            : s.Site.System == Day.Set && here.TryGetValue(s.Site.Position!, out var at) && !at.StartsWith("bench:", StringComparison.Ordinal));
    }

    /// <summary>About how likely it is that nothing on the bench is faulty: sites taken as independent.</summary>
    public static double Sound(Posterior belief, BuiltCase built) => Sites(belief, built).Aggregate(1.0, (q, s) => q * (1 - s.Faulty));

    public static List<(string Position, double P)> Pieces(Posterior belief, BuiltCase built) =>
        [.. built.Maps[Day.Set].Where(m => m.Value == CaseBuilder.PieceAt(Day.Job, m.Key))
            .Select(m => (m.Key, P: 1 - Sites(belief, built).Where(s => s.Site.Piece == m.Value || s.Site.Position == m.Key).Aggregate(1.0, (q, s) => q * (1 - s.Faulty))))
            .OrderByDescending(p => p.P)];

    public static Dictionary<string, double> Odds(Posterior belief, BuiltCase built) => Pieces(belief, built).ToDictionary(p => p.Position, p => p.P);

    /// <summary>Reads "piece.site:mode" or "system/position.site:mode".</summary>
    public static (SiteRef Site, string Mode) SiteOf(string words)
    {
        var colon = words.LastIndexOf(':');
        var (name, mode) = (words[..colon], words[(colon + 1)..]);
        var dot = name.LastIndexOf('.');
        var (at, site) = (name[..dot], name[(dot + 1)..]);
        var slash = at.IndexOf('/', StringComparison.Ordinal);
        return (slash < 0 ? SiteRef.OfPiece(at, site) : SiteRef.OfPosition(at[..slash], at[(slash + 1)..], site), mode);
    }
}
