using System.Collections.Immutable;
using System.Globalization;

namespace Bellwire.Reasoning.Engine;

/// <summary>Canonical text of events and settings, by which two logs are compared.</summary>
internal static class Describe
{
    public static string Of(Setting s) => Of(s.Throws) + ";" + Of(s.Circumstances);

    public static string Of(CaseEvent e) => e switch
    {
        CaseEvent.Place p => $"place|{p.Entry}|{p.System}|{p.Position}|{p.Piece}",
        CaseEvent.Reseat r => $"reseat|{r.Entry}|{r.System}|{r.Position}",
        CaseEvent.PowerUp u => $"power|{u.Entry}|{u.System}|{Of(u.Setting)}",
        CaseEvent.Mend m => string.Create(CultureInfo.InvariantCulture, $"mend|{m.Entry}|{m.Site}|{m.Success:R}"),
        CaseEvent.Observe o => $"observe|{o.Entry}|{o.System}|{Of(o.Setting)}|{Of(o.Target)}|" + string.Join(",",
            o.Likelihood.OrderBy(x => x.Key, StringComparer.Ordinal).Select(x => string.Create(CultureInfo.InvariantCulture, $"{x.Key}={x.Value:R}")))
            + string.Concat(o.Outcomes.Select(t => "|" + string.Join(",", t.OrderBy(x => x.Key, StringComparer.Ordinal).Select(x => string.Create(CultureInfo.InvariantCulture, $"{x.Key}={x.Value:R}")))))
            + (o.Alike.IsEmpty ? "" : "|alike " + string.Join(",", o.Alike.Select(a => a.ToString("R", CultureInfo.InvariantCulture)))),
        _ => throw new ArgumentOutOfRangeException(nameof(e), e, "An event of unknown kind."),
    };

    public static string Of(Target t) => t switch
    {
        Target.OfSignal s => "signal " + s.Signal,
        Target.OfSite s => "site " + s.Site,
        Target.OfCause c => "cause " + c.Cause,
        Target.OfTroubles r => $"troubles {string.Join(";", r.Parts.Select(p => p.Name + ":" + Of(p.When)))}|{(r.Beyond is { } b ? Of(b) : "")}|{string.Join(";", r.Known)}",
        _ => throw new ArgumentOutOfRangeException(nameof(t), t, "A target of unknown kind."),
    };

    private static string Of(Condition c) => c switch
    {
        Condition.All a => $"({string.Join("&", a.Of.Select(Of))})",
        Condition.Any a => $"({string.Join("|", a.Of.Select(Of))})",
        Condition.Not n => "!" + Of(n.Of),
        Condition.SiteIn s => $"{s.Position}.{s.Site}={string.Join("/", s.Modes)}",
        Condition.SignalIn s => $"{s.Signal}={string.Join("/", s.States)}",
        Condition.SelectorAt s => $"{s.Selector}@{string.Join("/", s.Throws)}",
        Condition.Circumstance s => $"{s.Name}~{string.Join("/", s.Values)}",
        Condition.Empty e => e.Position + " empty",
        _ => "always",
    };

    private static string Of(ImmutableDictionary<string, string> d) =>
        string.Join(",", d.OrderBy(x => x.Key, StringComparer.Ordinal).Select(x => x.Key + "=" + x.Value));
}
