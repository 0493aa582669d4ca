using Bellwire.Reasoning;
using Bellwire.Sheets;

namespace Bellwire.Counsel;

/// <summary>A circuit's states as a technician would say them: by what is wrong in the set, not by what was changed in the netlist.</summary>
public static class TroubleWords
{
    /// <summary>When the values of a circuit hold: "on the line", "without power".</summary>
    public static string Under(CircuitSpec circuit)
    {
        ArgumentNullException.ThrowIfNull(circuit);
        return circuit.Unpowered ? "without power" : $"on the {string.Join(" or ", circuit.Feeds)}";
    }

    private const int Most = 3;

    /// <summary>"healthy", "reservoir dry", "reservoir dry and fuse open".</summary>
    public static string Of(TypeSheet sheet, CircuitSpec circuit, string state)
    {
        ArgumentNullException.ThrowIfNull(sheet);
        ArgumentNullException.ThrowIfNull(circuit);
        if (state == Target.OfTroubles.Good) return "healthy";
        if (state == Target.OfTroubles.Outside) return "otherwise";
        var parts = circuit.Troubles.Where(t => state == t.Words || state.Split(" + ").Contains(t.Words)).Select(t => Said(sheet, t.When)).Distinct();
        return string.Join(" and ", parts);
    }

    /// <summary>Sites a condition names: "Intercom board: door input". Signals and connectors are left out.</summary>
    public static IEnumerable<string> Places(TypeSheet sheet, Condition when)
    {
        ArgumentNullException.ThrowIfNull(sheet);
        return when switch
        {
            Condition.Any a => a.Of.SelectMany(x => Places(sheet, x)),
            Condition.All a => a.Of.SelectMany(x => Places(sheet, x)),
            Condition.SiteIn { Site: not "contact" } s => [Place(sheet, s)],
            _ => [],
        };
    }

    private static string Place(TypeSheet sheet, Condition.SiteIn s)
    {
        var at = sheet.Family.Positions.First(p => p.Id == s.Position);
        var site = sheet.Family.Kinds.First(k => k.Id == at.Kind).Sites.Concat(at.Sites).FirstOrDefault(x => x.Id == s.Site);
        return $"{at.Name}: {Lower(site?.Name ?? s.Site)}";
    }

    private static string Said(TypeSheet sheet, Condition c)
    {
        var all = Terms(sheet, c).Where(t => t.Length > 0).Distinct().ToList();
        return string.Join(" or ", all.Take(Most)) + (all.Count > Most ? " …" : "");
    }

    private static IEnumerable<string> Terms(TypeSheet sheet, Condition c) => c switch
    {
        Condition.Any a => a.Of.SelectMany(x => Terms(sheet, x)),
        Condition.All a => [string.Join(" and ", a.Of.SelectMany(x => Terms(sheet, x)).Where(t => t.Length > 0))],
        Condition.SiteIn s => s.Modes.Select(m => Fault(sheet, s.Position, s.Site, m)),
        Condition.SignalIn s => s.States.Select(x => $"{Lower(sheet.Family.Signals.First(y => y.Id == s.Signal).Name)} {x.Replace('-', ' ')}"),
        Condition.Empty e => [$"no {Lower(sheet.Positions.First(p => p.Id == e.Position).Name)}"],
        _ => [""],
    };

    private static string Fault(TypeSheet sheet, string position, string site, string mode)
    {
        var at = sheet.Positions.First(p => p.Id == position);
        var known = sheet.Faults.FirstOrDefault(f => f.Site == site && f.Mode == mode && (f.Position == position || (f.Position is null && f.Kind == at.Kind)));
        return site == "contact" || known is null ? $"{Lower(at.Name)}: {site} {mode}" : known.Words;
    }

    /// <summary>A name inside a sentence; what is written in capitals stays so.</summary>
    private static string Lower(string name) => name.Length > 1 && char.IsUpper(name[0]) && char.IsLower(name[1]) ? char.ToLowerInvariant(name[0]) + name[1..] : name;
}
