using System.Collections.Immutable;
using Bellwire.Reasoning;

namespace Core.Tests.Reasoning;

/// <summary>The same case under other names and in another order. Order that means something stays: rules, hazards, first states, first throws.</summary>
internal sealed class Renamed(int seed)
{
    private readonly Random _r = new(seed);

    public Case Of(Case c)
    {
        var f = c.Family;
        var family = new Family(Name(f.Id), Mixed(f.Kinds.Select(k => new PieceKind(Kind(k.Id), k.Name, Mixed(k.Sites.Select(Of))))),
            Mixed(f.Positions.Select(p => p with { Id = Position(p.Id), Kind = Kind(p.Kind), Sites = Mixed(p.Sites.Select(Of)), ContactSite = p.ContactSite is { } s ? Site(s) : null })),
            Mixed(f.Causes.Select(x => x with { Id = Cause(x.Id) })), Mixed(f.Selectors.Select(s => s with { Id = Name(s.Id) })),
            Mixed(f.Signals.Select(s => s with { Id = Signal(s.Id), Rules = [.. s.Rules.Select(r => r with { When = Of(r.When) })] })),
            [.. f.Hazards.Select(h => h with { Trigger = Of(h.Trigger), Position = Position(h.Position), Site = Site(h.Site), Mode = Mode(h.Mode) })]);
        return new Case(family, Mixed(c.Pieces.Select(p => new PieceInstance(Piece(p.Id), Kind(p.Kind), Origin(p.Origin), p.Trust))),
            Mixed(c.Systems.Select(s => new SystemInstance(System(s.Id), Origin(s.Origin), s.InitialPieces.ToImmutableDictionary(x => Position(x.Key), x => Piece(x.Value)), s.PositionTrust))),
            c.KnownCauses.ToImmutableDictionary(x => Cause(x.Key), x => x.Value), [.. c.Events.Select(Of)]);
    }

    public SiteRef Of(SiteRef s) => new(s.Piece is { } p ? Piece(p) : null, s.System is { } x ? System(x) : null, s.Position is { } at ? Position(at) : null, Site(s.Site));

    public string Mode(string id) => id == "good" ? id : Name(id);

    public string Cause(string id) => id.IndexOf('/') is > 0 and var at ? Origin(id[..at]) + "/" + Name(id[(at + 1)..]) : Name(id);

    // Each kind of thing has its own new names, and they sort otherwise than the old ones.
    private string Name(string id) => $"{(char)('a' + (seed + id.Sum(x => x) * 7) % 26)}_{id}";
    private string Piece(string id) => "p" + Name(id);
    private string Kind(string id) => "k" + Name(id);
    private string Position(string id) => "q" + Name(id);
    private string Site(string id) => "s" + Name(id);
    private string Signal(string id) => "v" + Name(id);
    private string System(string id) => "y" + Name(id);
    private string? Origin(string? id) => id is null ? null : "o" + Name(id);

    private SiteSpec Of(SiteSpec s) => new(Site(s.Id), s.Name, Mixed(s.Modes.Select(m => m with { Id = Mode(m.Id), ByCause = m.ByCause.ToImmutableDictionary(x => Cause(x.Key), x => x.Value) })));

    private CaseEvent Of(CaseEvent e) => e switch
    {
        CaseEvent.Place p => new CaseEvent.Place(p.Entry, System(p.System), Position(p.Position), p.Piece is { } x ? Piece(x) : null),
        CaseEvent.Reseat r => new CaseEvent.Reseat(r.Entry, System(r.System), Position(r.Position)),
        CaseEvent.PowerUp u => new CaseEvent.PowerUp(u.Entry, System(u.System), Of(u.Setting)),
        CaseEvent.Mend m => m with { Site = Of(m.Site) },
        CaseEvent.Observe o => o with
        {
            System = System(o.System), Setting = Of(o.Setting),
            Target = o.Target switch
            {
                Target.OfSignal s => new Target.OfSignal(Signal(s.Signal)),
                Target.OfSite s => new Target.OfSite(Of(s.Site)),
                Target.OfCause k => new Target.OfCause(Cause(k.Cause)),
                Target.OfTroubles t => t with { Parts = [.. t.Parts.Select(p => p with { When = Of(p.When) })], Beyond = t.Beyond is { } b ? Of(b) : null },
                _ => o.Target,
            },
            Likelihood = o.Target is Target.OfSite ? o.Likelihood.ToImmutableDictionary(x => Mode(x.Key), x => x.Value) : o.Likelihood,
        },
        _ => e,
    };

    private Setting Of(Setting s) => s with { Throws = s.Throws.ToImmutableDictionary(x => Name(x.Key), x => x.Value) };

    private Condition Of(Condition c) => c switch
    {
        Condition.All a => new Condition.All(Mixed(a.Of.Select(Of))),
        Condition.Any a => new Condition.Any(Mixed(a.Of.Select(Of))),
        Condition.Not n => new Condition.Not(Of(n.Of)),
        Condition.SiteIn s => new Condition.SiteIn(Position(s.Position), Site(s.Site), [.. s.Modes.Select(Mode)]),
        Condition.SignalIn s => s with { Signal = Signal(s.Signal) },
        Condition.SelectorAt s => s with { Selector = Name(s.Selector) },
        Condition.Empty e => new Condition.Empty(Position(e.Position)),
        _ => c,
    };

    private ImmutableArray<T> Mixed<T>(IEnumerable<T> of)
    {
        var all = of.ToArray();
        _r.Shuffle(all);
        return [.. all];
    }
}
