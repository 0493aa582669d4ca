using System.Collections.Immutable;
using Bellwire.Reasoning;

namespace Bellwire.Counsel;

/// <summary>When to stop looking.</summary>
internal static class StoppingAdvice
{
    /// <summary>Below this no piece that came is worth calling a suspect (estimate); a look that saves less than it costs is not worth its time.</summary>
    private const double SmallHere = 0.05, SmallRate = 1;

    public static string Word(Posterior belief, BuiltCase built, ImmutableArray<MoveBundle> moves, Namer names)
    {
        var looks = moves.Where(b => b.Id != "mend").SelectMany(b => b.Moves).ToList();
        var best = looks.Count == 0 ? 0 : looks.Max(m => m.InformationBits);
        var rate = moves.Where(b => b.Id != "mend" && b.CanBeMade()).Select(b => b.Worth).DefaultIfEmpty(0).Max();
        var here = belief.Pieces.Where(p => built.Maps[built.System].ContainsValue(p.Piece) && !built.NeverSeen.Contains(p.Piece)).Select(p => p.Faulty).DefaultIfEmpty().Max();
        var house = belief.Sites.Where(s => s.Site.System == built.System || (s.Site.Piece is { } p && built.NeverSeen.Contains(p))).Select(s => s.Faulty).DefaultIfEmpty().Max();
        if (moves.Any(b => b.Id == "mend")) return "mend now";
        if (moves.FirstOrDefault() is { Id: "rails" } rails) return rails.Moves[0].Swaps.Length > 0 ? "plug in again what was unplugged" : "the rail first, before anything is powered with it";
        if (belief.MostProbable.Length > 0 && belief.MostProbable[0].Probability > 0.85 && !belief.MostProbable[0].Faults.IsEmpty) return "enough to quote";
        if (here < SmallHere && rate < SmallRate) return house > here ? "nothing left worth its minutes – the odds lie in the house" : "nothing found: prove it, and say so";
        if (rate < SmallRate) return best < 0.01 ? "nothing left worth its minutes – mend the likeliest or call the owner" : "proving will tell the rest";
        return "look on";
    }
}
