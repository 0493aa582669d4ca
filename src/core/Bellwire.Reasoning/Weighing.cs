using System.Collections.Immutable;

namespace Bellwire.Reasoning;

/// <summary>A case, weighed: what the tape makes of the set, and what a next move would add.</summary>
public sealed class Weighing
{
    private readonly Func<IReadOnlyList<Move>, ImmutableArray<MoveValue>> _try;
    private readonly Func<Move, MoveValue, MoveValue>? _exactly;

    internal Weighing(Case c, Posterior? posterior, Contradiction? contradiction, Func<IReadOnlyList<Move>, ImmutableArray<MoveValue>> tryMoves,
        Engine.Chain? chain = null, Func<Move, MoveValue, MoveValue>? exactly = null)
    {
        _exactly = exactly;
        (Case, Posterior, Contradiction, _try, Chain) = (c, posterior, contradiction, tryMoves, chain);
    }

    /// <summary>The case that was weighed.</summary>
    public Case Case { get; }

    internal Engine.Chain? Chain { get; }

    /// <summary>Values moves on drawn worlds; null where nothing could be weighed.</summary>
    internal Engine.Planner? Planner { get; init; }

    /// <summary>Null when the tape cannot have happened under the model.</summary>
    public Posterior? Posterior { get; }

    /// <summary>Not null exactly when <see cref="Posterior"/> is null.</summary>
    public Contradiction? Contradiction { get; }

    /// <summary>Values moves in the order given.</summary>
    /// <exception cref="InvalidOperationException">The case contradicts itself: there is nothing to plan with.</exception>
    public ImmutableArray<MoveValue> Try(IReadOnlyList<Move> moves)
    {
        if (Posterior is null) throw new InvalidOperationException("The tape contradicts itself; no move can be valued until that is mended.");
        return _try(moves);
    }

    /// <summary>Re-checks leading moves without lots: P(outcome) and what may be killed by sweeping the diagram, information where it can be had
    /// (then <see cref="MoveValue.Exact"/>). Finds what lots miss: fault sets rarer than one in some hundreds. A few milliseconds each.
    /// Where the figures themselves were drawn by lot, the values come back unchanged.</summary>
    /// <param name="values">What <see cref="Try"/> said of the same moves, in the same order.</param>
    public ImmutableArray<MoveValue> Recheck(IReadOnlyList<Move> moves, IReadOnlyList<MoveValue> values)
    {
        if (moves.Count != values.Count) throw new ArgumentException($"{moves.Count} moves but {values.Count} values.", nameof(values));
        return _exactly is null ? [.. values] : [.. moves.Zip(values, _exactly)];
    }
}
