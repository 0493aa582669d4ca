namespace Bellwire.Reasoning.Engine;

/// <summary>The order of sites in the diagram: depth first from the outputs, deepest upstream first, each site at its
/// first visit. Random orders make the diagram explode.</summary>
internal static class SiteOrder
{
    public static Dictionary<(string Position, string Site), int> Of(Family family)
    {
        var rank = new Dictionary<(string, string), int>();
        var signals = family.Signals.ToDictionary(s => s.Id);
        var used = family.Signals.SelectMany(s => s.Rules).SelectMany(r => Signals(r.When)).ToHashSet();
        var seen = new HashSet<string>();
        foreach (var s in family.Signals.Where(s => !used.Contains(s.Id)).Concat(family.Signals)) Visit(s);
        foreach (var h in family.Hazards) Place(h.Position, h.Site);
        foreach (var p in family.Positions)
            foreach (var site in p.Sites.Concat(family.Kinds.FirstOrDefault(k => k.Id == p.Kind)?.Sites ?? []))
                Place(p.Id, site.Id);
        return rank;

        void Visit(SignalSpec s)
        {
            if (!seen.Add(s.Id)) return;
            foreach (var r in s.Rules)
                foreach (var up in Signals(r.When))
                    if (signals.TryGetValue(up, out var spec)) Visit(spec);
            foreach (var r in s.Rules)
                foreach (var (position, site) in Sites(r.When)) Place(position, site);
        }

        void Place(string position, string site) => rank.TryAdd((position, site), rank.Count);
    }

    public static IEnumerable<string> Signals(Condition c) => c.Leaves().OfType<Condition.SignalIn>().Select(s => s.Signal);

    public static IEnumerable<(string Position, string Site)> Sites(Condition c) => c.Leaves().OfType<Condition.SiteIn>().Select(s => (s.Position, s.Site));
}
