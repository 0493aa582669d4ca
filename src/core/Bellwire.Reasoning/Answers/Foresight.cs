using System.Collections.Immutable;
using Bellwire.Reasoning.Engine;

namespace Bellwire.Reasoning;

/// <summary>What may be wrong, as far as it matters for planning, and what each move would show in it – also after something was mended.</summary>
/// <param name="States">The states with their chances, adding up to 1; closed under mending any one site, and all the others at once. A state that only a mend leads to has chance 0.</param>
/// <param name="Moves">Those moves whose look could be reckoned, in the order asked.</param>
/// <param name="Covered">Share of the drawn worlds that the states stand for, 0..1; the rest was left out as too rare.</param>
public sealed record Foresight(ImmutableArray<ForeseenState> States, ImmutableArray<ForeseenMove> Moves, double Covered)
{
    /// <param name="sites">Sites kept apart.</param>
    /// <param name="others">Sites of which is only told whether any of them is faulty.</param>
    /// <param name="most">States kept of those drawn, at least 1; the likeliest.</param>
    /// <param name="tell">Told (moves done, moves).</param>
    /// <returns>Null when there is nothing to plan with: the tape contradicts itself.</returns>
    public static Foresight? Of(Weighing weighing, IReadOnlyList<SiteRef> sites, IReadOnlyList<SiteRef> others, IReadOnlyList<Move> moves, int most = 48,
        Action<int, int>? tell = null, CancellationToken ct = default)
    {
        ArgumentNullException.ThrowIfNull(weighing);
        ArgumentOutOfRangeException.ThrowIfLessThan(most, 1);
        return weighing is { Chain: { } chain, Planner: { } planner } ? new Foreseer(chain, planner, sites, others).Of(moves, most, tell, ct) : null;
    }
}

/// <param name="Faults">Faulty sites (by their number among the sites asked) with their modes.</param>
/// <param name="Others">True when some other site is faulty too.</param>
/// <param name="Chance">0..1.</param>
public sealed record ForeseenState(ImmutableArray<(int Site, string Mode)> Faults, bool Others, double Chance);

/// <param name="Chances">[state][outcome] → probability; each row adds up to 1.</param>
public sealed record ForeseenMove(string Id, ImmutableArray<string> Outcomes, ImmutableArray<ImmutableArray<double>> Chances);
