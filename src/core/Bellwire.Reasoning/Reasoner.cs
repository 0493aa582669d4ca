namespace Bellwire.Reasoning;

// The engine's public face:
//   Weighing Reasoner.Weigh(Case c, WeighOptions? options = null, CancellationToken ct = default)
//   Weighing.Posterior / Weighing.Contradiction (one of the two), Weighing.Try(IReadOnlyList<Move> moves) → MoveValue[]
/// <summary>Limits within which the engine may leave exactness.</summary>
/// <param name="NodeBudget">Diagram nodes before pruning sets in.</param>
/// <param name="Samples">Fault sets drawn to answer what-ifs.</param>
/// <param name="Seed">Seed of every draw: equal seeds give equal answers.</param>
/// <param name="MaxFaultSets">How many most probable sets are wanted.</param>
public sealed record WeighOptions(int NodeBudget = 200_000, int Samples = 2_000, ulong Seed = 1, int MaxFaultSets = 12);
