using System.Collections.Immutable;
using Bellwire.Reasoning;

namespace Bellwire.Counsel;

/// <summary>What conditions and signals hang on.</summary>
internal static class Conditions
{
    /// <summary>The signals a condition wants in some state, as they stand in it.</summary>
    public static IEnumerable<Condition.SignalIn> SignalsIn(Condition condition) => condition.Leaves().OfType<Condition.SignalIn>();

    /// <summary>The signal itself and every one it may be taken from.</summary>
    public static ImmutableHashSet<string> SignalsBehind(Family family, string signal)
    {
        var seen = ImmutableHashSet.CreateBuilder<string>();
        seen.Add(signal);
        var open = new Stack<string>([signal]);
        while (open.TryPop(out var at))
            foreach (var upstream in family.Signals.First(s => s.Id == at).Rules.SelectMany(r => SignalsIn(r.When)))
                if (seen.Add(upstream.Signal)) open.Push(upstream.Signal);
        return seen.ToImmutable();
    }

    /// <summary>Every position that the signal's own rules name.</summary>
    public static IEnumerable<string> PositionsOf(Family family, string signal) => family.Signals.First(s => s.Id == signal).Rules.SelectMany(r => Positions(r.When));

    /// <summary>Every position whose piece, connector or emptiness can change the signal, through other signals too.</summary>
    public static ImmutableHashSet<string> PositionsBehind(Family family, string signal) => [.. SignalsBehind(family, signal).SelectMany(s => PositionsOf(family, s))];

    /// <summary>Sites of which a fault alone can take the signal out of its first state, through whatever states of other signals lie between.</summary>
    public static ImmutableHashSet<(string Position, string Site)> SitesBehind(Family family, string signal) =>
        [.. Behind(family, family.Signals.First(s => s.Id == signal).States.Skip(1).Select(s => (signal, s))).Select(s => (s.Position, s.Site))];

    /// <summary>Faults that help to bring a condition about, through whatever states of signals lie between.</summary>
    public static ImmutableHashSet<(string Position, string Site, string Mode)> FaultsBehind(Family family, Condition condition) =>
        [.. SitesIn(condition).Concat(Behind(family, SignalsIn(condition).SelectMany(s => s.States.Select(x => (s.Signal, x))))).SelectMany(s => s.Modes.Select(m => (s.Position, s.Site, m)))];

    private static IEnumerable<Condition.SiteIn> Behind(Family family, IEnumerable<(string Signal, string State)> states)
    {
        var seen = states.ToHashSet();
        var open = new Stack<(string Signal, string State)>(seen);
        while (open.TryPop(out var at))
            foreach (var rule in family.Signals.First(s => s.Id == at.Signal).Rules.Where(r => r.Then == at.State || r.Then == "?"))
            {
                foreach (var site in SitesIn(rule.When)) yield return site;
                foreach (var upstream in SignalsIn(rule.When))
                    foreach (var state in upstream.States)
                        if (seen.Add((upstream.Signal, state))) open.Push((upstream.Signal, state));
            }
    }

    private static IEnumerable<Condition.SiteIn> SitesIn(Condition condition) => condition.Leaves().OfType<Condition.SiteIn>();

    private static IEnumerable<string> Positions(Condition condition) =>
        condition.Leaves().Select(c => c switch { Condition.SiteIn site => site.Position, Condition.Empty empty => empty.Position, _ => null }).OfType<string>();
}
