using Bellwire.Reasoning;

namespace Bellwire.Sheets.Rules;

/// <summary>All names a rule may use, and what each may be said to be.</summary>
internal sealed class Names
{
    public Dictionary<string, int> Repeat { get; } = new(StringComparer.Ordinal);
    public HashSet<string> Dropped { get; set; } = new(StringComparer.Ordinal);
    public Dictionary<string, PositionDraft> Positions { get; } = new(StringComparer.Ordinal);
    public Dictionary<string, KindDraft> Kinds { get; } = new(StringComparer.Ordinal);
    public Dictionary<string, IReadOnlyList<string>> Signals { get; } = new(StringComparer.Ordinal);
    public Dictionary<string, IReadOnlyList<string>> Selectors { get; } = new(StringComparer.Ordinal);
    public Dictionary<string, IReadOnlyList<string>> Conditions { get; } = new(StringComparer.Ordinal);
    public Dictionary<string, double> Causes { get; } = new(StringComparer.Ordinal);

    /// <summary>Sites of what sits in the position and of the position itself.</summary>
    public IEnumerable<SiteDraft> SitesAt(PositionDraft position) =>
        Kinds.TryGetValue(position.Kind, out var kind) ? kind.Sites.Concat(position.Sites) : position.Sites;

    public SiteDraft? Site(string position, string site) =>
        Positions.TryGetValue(position, out var p) ? SitesAt(p).FirstOrDefault(s => s.Id == site) : null;

    /// <summary>Positions that have a site of this name, for the short form.</summary>
    public IEnumerable<string> PositionsWithSite(string site) =>
        Positions.Values.Where(p => SitesAt(p).Any(s => s.Id == site)).Select(p => p.Id);

    public IEnumerable<string> Subjects() =>
        Signals.Keys.Concat(Positions.Keys).Concat(Selectors.Keys).Concat(Conditions.Keys)
            .Concat(Positions.Values.SelectMany(p => SitesAt(p)).Select(s => s.Id)).Distinct();

    /// <summary>True when the name, or the position before its dot, was left out of this set.</summary>
    public bool IsDropped(string name)
    {
        var dot = name.IndexOf('.');
        return (Dropped.Contains(dot < 0 ? name : name[..dot]) || dot >= 0 && Dropped.Contains(name[(dot + 1)..]) && Site(name[..dot], name[(dot + 1)..]) is null)
            && !Signals.ContainsKey(name) && !(dot >= 0 && Positions.ContainsKey(name[..dot]) && Site(name[..dot], name[(dot + 1)..]) is not null) && !(dot < 0 && Positions.ContainsKey(name));
    }
}

/// <summary>A fault as read: its commonness still a weight.</summary>
internal sealed record FaultDraft(
    string Id, string Name, double? Weight, double? Odds, IReadOnlyList<(string Cause, double? Times, double? Chance)> By, double Shows,
    bool Passing, bool Quiet, double Mend, string? Part, double Cost, double Success, string? Donor);

internal sealed record SiteDraft(string Id, string Name, IReadOnlyList<FaultDraft> Faults);

internal sealed record KindDraft(string Id, string Name, IReadOnlyList<SiteDraft> Sites);

internal sealed record PositionDraft(string Id, string Kind, IReadOnlyList<SiteDraft> Sites, bool HasContact, double Redraw, PositionInfo Info);
