using System.Collections.Immutable;

namespace Bellwire.Reasoning;

/// <summary>What can be wrong with one family of sets, and how it shows. Immutable; names are stable ids.</summary>
public sealed record Family(
    string Id,
    ImmutableArray<PieceKind> Kinds,
    ImmutableArray<PositionSpec> Positions,
    ImmutableArray<CauseSpec> Causes,
    ImmutableArray<SelectorSpec> Selectors,
    ImmutableArray<SignalSpec> Signals,
    ImmutableArray<HazardSpec> Hazards);

/// <summary>A kind of physical piece. Each piece of the kind carries its own copy of every site.</summary>
public sealed record PieceKind(string Id, string Name, ImmutableArray<SiteSpec> Sites);

/// <summary>A place in a set that holds at most one piece of <paramref name="Kind"/>; its own sites
/// (connector, run in the wall) stay when the piece is changed.</summary>
/// <param name="House">True for positions that stay in the owner's house and are never bench-checked.</param>
/// <param name="ContactSite">Id of the position site that is the connector, or null.</param>
/// <param name="RedrawChance">Chance, 0..1, that a pull, fit, reseat or knock redraws the connector's state from its prior.</param>
public sealed record PositionSpec(
    string Id, string Name, string Kind, bool House, ImmutableArray<SiteSpec> Sites,
    string? ContactSite = null, double RedrawChance = 0.0);

/// <summary>A site is good or in exactly one of its modes.</summary>
public sealed record SiteSpec(string Id, string Name, ImmutableArray<ModeSpec> Modes);

/// <summary>A fault mode. Odds are competing risks: λ = −ln(1−base) + Σ active causes −ln(1−q);
/// P(any mode) = 1 − exp(−Σλ), shared in proportion to λ.</summary>
/// <param name="BaseOdds">0 ≤ p &lt; 1 with no cause active.</param>
/// <param name="ByCause">Cause id → q, 0 ≤ q &lt; 1. Causes belong to an origin; pieces of the shop have none.</param>
/// <param name="ShowsPerTrial">Chance that the mode shows in one trial; 1 for a steady fault, less for an intermittent.</param>
public sealed record ModeSpec(
    string Id, string Name, double BaseOdds, ImmutableDictionary<string, double> ByCause, double ShowsPerTrial = 1.0);

/// <summary>What can make several pieces faulty at once (age, water, surge, foreign supply, earlier work).</summary>
public sealed record CauseSpec(string Id, string Name, double Prior);

/// <summary>A user control with named throws; the first is the default.</summary>
public sealed record SelectorSpec(string Id, string Name, ImmutableArray<string> Throws);

/// <summary>Something that flows. The first rule whose condition holds decides; otherwise the first state.</summary>
/// <param name="States">At least two; the first is the good state.</param>
/// <param name="Loop">Marked member of a loop: iterated synchronously from good, see docs/engines/reasoning.md.</param>
public sealed record SignalSpec(
    string Id, string Name, ImmutableArray<string> States, ImmutableArray<RuleSpec> Rules, bool Loop = false);

/// <summary>One line of a signal's rule list.</summary>
/// <param name="Then">A state of the signal, or "?": an unknown fault (site "other") decides; the state is then hidden, uniform over
/// all states of the signal, and the same at every look for the physical sites the rule names.</param>
/// <param name="Chance">Below 1 the rule is graded: whether it bites is drawn once for each combination of
/// the physical sites it names (hidden severity), not at each look. A rule that does not bite is passed over.</param>
public sealed record RuleSpec(string Id, Condition When, string Then, double Chance = 1.0);

/// <summary>At power-up of a hook-up in which <paramref name="Trigger"/> holds, the good target site dies.</summary>
/// <param name="Trigger">Over signals, selectors and conditions only.</param>
/// <param name="EachTime">True: a fresh draw at each power-up; false: one draw for each target and rule.</param>
public sealed record HazardSpec(
    string Id, string Words, Condition Trigger, string Position, string Site, string Mode, double Chance, bool EachTime);

/// <summary>A condition of a rule or hazard, read in one hook-up.</summary>
public abstract record Condition
{
    public sealed record Always : Condition;
    public sealed record All(ImmutableArray<Condition> Of) : Condition;
    public sealed record Any(ImmutableArray<Condition> Of) : Condition;
    public sealed record Not(Condition Of) : Condition;

    /// <summary>The site at the position is in one of the modes. A piece site is that of whichever piece sits there;
    /// false when the position is empty. "good" is a permitted mode id.</summary>
    public sealed record SiteIn(string Position, string Site, ImmutableArray<string> Modes) : Condition;

    public sealed record SignalIn(string Signal, ImmutableArray<string> States) : Condition;
    public sealed record SelectorAt(string Selector, ImmutableArray<string> Throws) : Condition;

    /// <summary>A named circumstance of the hook-up (feed = line/lamp/limited/off, warmth = cold/warm, weather = dry/rain …).</summary>
    public sealed record Circumstance(string Name, ImmutableArray<string> Values) : Condition;

    public sealed record Empty(string Position) : Condition;

    /// <summary>Everything it names, without what joins it.</summary>
    public IEnumerable<Condition> Leaves() => this switch
    {
        All a => a.Of.SelectMany(x => x.Leaves()),
        Any a => a.Of.SelectMany(x => x.Leaves()),
        Not n => n.Of.Leaves(),
        _ => [this],
    };
}
