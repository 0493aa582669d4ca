using System.Collections.Immutable;
using Bellwire.Reasoning;

namespace Bellwire.Counsel;

/// <summary>When to stop looking.</summary>
internal static class StoppingAdvice
{
    /// <summary>Below this no piece that came is worth calling a suspect (estimate); a look that saves less than it costs is not worth its time.</summary>
    private const double SmallHere = 0.05, SmallRate = 1;

    /// <summary>Likelier than this to fail, a proof tells little that looks would not tell sooner: one looks on for as little as this share of the minutes spent (estimate).</summary>
    private const double SmallRateThen = 0.25;

    /// <summary>Minutes that a look has to spare for each minute it costs, to be made before proving.</summary>
    public static double LeastRate(ProofOrder proof) => proof.WouldFail ? SmallRateThen : SmallRate;

    public static string Word(Posterior belief, BuiltCase built, ImmutableArray<MoveBundle> moves, Namer names, ProofOrder proof)
    {
        var small = LeastRate(proof);
        var looks = moves.Where(b => b.Id != "mend").SelectMany(b => b.Moves).ToList();
        var best = looks.Count == 0 ? 0 : looks.Max(m => m.InformationBits);
        var rate = moves.Where(b => b.Id != "mend" && b.CanBeMade()).Select(b => b.Worth).DefaultIfEmpty(0).Max();
        var here = belief.Pieces.Where(p => built.Maps[built.System].ContainsValue(p.Piece) && !built.NeverSeen.Contains(p.Piece)).Select(p => p.Faulty).DefaultIfEmpty().Max();
        var house = belief.Sites.Where(s => s.Site.System == built.System || (s.Site.Piece is { } p && built.NeverSeen.Contains(p))).Select(s => s.Faulty).DefaultIfEmpty().Max();
        if (moves.Any(b => b.Id == "mend")) return "mend now";
        if (moves.FirstOrDefault() is { Id: "rails" } rails) return rails.Moves[0].Swaps.Length > 0 ? "plug in again what was unplugged" : "the rail first, before anything is powered with it";
        if (belief.MostProbable.Length > 0 && belief.MostProbable[0].Probability > 0.85 && !belief.MostProbable[0].Faults.IsEmpty) return "enough to quote";
        if (here < SmallHere && rate < small) return house > here ? "nothing left worth its minutes – the odds lie in the house" : "nothing found: prove it, and say so";
        if (rate < small) return best < 0.01 ? "nothing left worth its minutes – mend the likeliest or call the owner" : "proving will tell the rest";
        return "look on";
    }
}
