using System.Collections.Immutable;
using Bellwire.Reasoning.Diagram;

namespace Bellwire.Reasoning.Engine;

/// <summary>Where things stand after some event of the log. Immutable, so that a strike-out can go on from any of them.</summary>
/// <param name="Sits">(system, position) → piece.</param>
/// <param name="Site">State of each physical site now, as a function of the hidden variables.</param>
/// <param name="Root">Evidence so far, a node of the evidence diagram (scale apart).</param>
/// <param name="LaneWeights">Weight of each lane: prior × what was learnt of causes directly.</param>
/// <param name="Bound">Hazard switches whose factor is already in the evidence.</param>
/// <param name="LogEvidence">ln p of everything seen so far.</param>
/// <param name="Lost">Bound on the share of posterior mass pruned away; in a chain that blurs, the share blurred.</param>
internal sealed record Moment(
    ImmutableDictionary<(string System, string Position), string> Sits, int[] Site, int Root, double[] LaneWeights,
    ImmutableHashSet<int> Bound, double LogEvidence, double Lost)
{
    public string? PieceAt(string system, string position) => Sits.GetValueOrDefault((system, position));
}

/// <summary>What ties a hazard switch to its trigger. The switch itself means "it struck"; functions name only the switch,
/// and the tie enters the evidence when the switch is first mentioned by something seen.</summary>
/// <param name="Order">Age: ties made later may depend on ties made earlier.</param>
/// <param name="Lot">The independent draw: chance of harm, once or each time.</param>
internal sealed record Tie(int Order, Variable Switch, int Trigger, Variable Lot);
