using System.Collections.Immutable;
using Bellwire.Reasoning;

namespace Bellwire.Counsel;

/// <summary>When to stop looking.</summary>
internal static class StoppingAdvice
{
    public static string Word(Posterior belief, BuiltCase built, ImmutableArray<MoveBundle> moves, Namer names)
    {
        var looks = moves.Where(b => b.Id != "mend").SelectMany(b => b.Moves).ToList();
        var best = looks.Count == 0 ? 0 : looks.Max(m => m.InformationBits);
        var here = belief.Sites.Where(s => s.Site.Piece is { } p && !built.NeverSeen.Contains(p) && !names.IsShops(p)).Sum(s => s.Faulty);
        var house = belief.Sites.Where(s => s.Site.System == built.System || (s.Site.Piece is { } p && built.NeverSeen.Contains(p))).Sum(s => s.Faulty);
        if (moves.Any(b => b.Id == "mend")) return "mend now";
        if (belief.MostProbable.Length > 0 && belief.MostProbable[0].Probability > 0.85 && !belief.MostProbable[0].Faults.IsEmpty) return "enough to quote";
        if (here < 0.1 && best < 0.02) return house > here ? "nothing left worth its minutes – the odds lie in the house" : "nothing found: prove it, and say so";
        return best < 0.01 ? "nothing left worth its minutes – mend the likeliest or call the owner" : "look on";
    }
}
