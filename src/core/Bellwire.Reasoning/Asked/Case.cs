using System.Collections.Immutable;

namespace Bellwire.Reasoning;

/// <summary>Everything known of one job, in effective order.</summary>
/// <param name="Systems">The owner's set ("home" is the same set in the owner's house, epoch 0), the shop's mule.</param>
public sealed record Case(
    Family Family,
    ImmutableArray<PieceInstance> Pieces,
    ImmutableArray<SystemInstance> Systems,
    ImmutableDictionary<string, bool> KnownCauses,
    ImmutableArray<CaseEvent> Events);

/// <summary>One physical piece.</summary>
/// <param name="Origin">Origins have causes; null (the shop's own) has none.</param>
/// <param name="Trust">Null: prior odds of its kind. Otherwise P(all sites good), 0..1; faults share the rest by their odds.
/// 1 means declared perfect (a dummy load).</param>
public sealed record PieceInstance(string Id, string Kind, string? Origin, double? Trust);

/// <summary>A chassis whose positions hold pieces. Its position sites are its own.</summary>
public sealed record SystemInstance(string Id, string? Origin, ImmutableDictionary<string, string> InitialPieces, double? PositionTrust = null);

/// <summary>An event of the log. <paramref name="Entry"/> names the tape entry it came from.</summary>
public abstract record CaseEvent(string Entry)
{
    /// <summary>A piece is put into (or, when null, taken from) a position; the connector may be redrawn.</summary>
    public sealed record Place(string Entry, string System, string Position, string? Piece) : CaseEvent(Entry);

    /// <summary>Unplugged and plugged again, or knocked: the connector may be redrawn.</summary>
    public sealed record Reseat(string Entry, string System, string Position) : CaseEvent(Entry);

    /// <summary>Power applied; hazards fire before the checks that follow.</summary>
    public sealed record PowerUp(string Entry, string System, Setting Setting) : CaseEvent(Entry);

    /// <summary>A soft observation of one target.</summary>
    /// <param name="Likelihood">For each state of the target, P(this outcome | state); at least one positive.</param>
    /// <param name="Repeat">Two observations with equal non-null keys in unchanged circumstances count once.</param>
    public sealed record Observe(
        string Entry, string System, Setting Setting, Target Target,
        ImmutableDictionary<string, double> Likelihood, string? Repeat = null) : CaseEvent(Entry)
    {
        /// <summary>All outcomes the check could have had, each as P(outcome | state), that which was seen among them; for each state they should
        /// add up to one. Only the surprise hangs on them. Empty when not known: then the states themselves stand for the outcomes.</summary>
        public ImmutableArray<ImmutableDictionary<string, double>> Outcomes { get; init; } = [];

        /// <summary>How many outcomes as fine as the one seen each of <see cref="Outcomes"/> stands for, at least 1: a meter's scale is told in wide bins. Empty: one each.</summary>
        public ImmutableArray<double> Alike { get; init; } = [];
    }

    /// <summary>A site is made good with a stated chance of success, 0..1.</summary>
    public sealed record Mend(string Entry, SiteRef Site, double Success) : CaseEvent(Entry);
}

/// <summary>Selector throws and circumstances at one moment; what is not named stands at its default.</summary>
public sealed record Setting(ImmutableDictionary<string, string> Throws, ImmutableDictionary<string, string> Circumstances)
{
    public static Setting Default { get; } = new(ImmutableDictionary<string, string>.Empty, ImmutableDictionary<string, string>.Empty);
}

/// <summary>What an observation reads.</summary>
public abstract record Target
{
    public sealed record OfSignal(string Signal) : Target;
    public sealed record OfSite(SiteRef Site) : Target;

    /// <summary>A cause; its states are "yes" and "no". Plain name: the origin of the case's first owned system; "origin/cause" for another.</summary>
    public sealed record OfCause(string Cause) : Target;

    /// <summary>Several troubles of one hook-up at once, as a circuit sees them. Its states: "good" when no part holds; the name of the one that
    /// holds, or the names of the two, joined by " + " in the order of <paramref name="Parts"/>; "beyond" when <paramref name="Beyond"/> holds, when more than
    /// two do, or when the state is not among <paramref name="Known"/>. In a look intermittent faults show or hide, as for signals.</summary>
    /// <param name="Known">States other than "good" that can be told apart.</param>
    public sealed record OfTroubles(ImmutableArray<Trouble> Parts, Condition? Beyond, ImmutableArray<string> Known) : Target
    {
        public const string Good = "good", Outside = "beyond";

        public static string Pair(string one, string other) => one + " + " + other;

        /// <summary>All states: "good", those known in their order, "beyond".</summary>
        public ImmutableArray<string> States => [Good, .. Known, Outside];
    }
}

/// <summary>One trouble a circuit knows, and when it is there.</summary>
public sealed record Trouble(string Name, Condition When);

/// <summary>A site of a piece (<see cref="Piece"/> set) or of a position of a system.</summary>
public sealed record SiteRef(string? Piece, string? System, string? Position, string Site)
{
    public static SiteRef OfPiece(string piece, string site) => new(piece, null, null, site);
    public static SiteRef OfPosition(string system, string position, string site) => new(null, system, position, site);
    public override string ToString() => Piece is not null ? $"{Piece}.{Site}" : $"{System}/{Position}.{Site}";
}
