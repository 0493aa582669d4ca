using Bellwire.Quantities;
using Bellwire.Reasoning;

namespace Bellwire.Counsel;

/// <summary>What one outcome of a move would change, in words.</summary>
internal static class OutcomeWords
{
    /// <summary>Changes named at most, and the least worth naming.</summary>
    private const int Most = 2;
    private const double Least = 0.02;

    public static string Of(MoveValue value, string outcome, Namer names)
    {
        var moved = value.After.GetValueOrDefault(outcome, []).OrderByDescending(a => Math.Abs(a.Then - a.Now)).Where(a => Math.Abs(a.Then - a.Now) >= Least)
            .DistinctBy(a => names.Key(a.Site)).Take(Most)
            .Select(a => $"{names.KeyName(a.Site)} {(a.Then > a.Now ? "rises to" : "falls to")} {Words.Band(Math.Clamp(a.Then, 0, 1))}");
        var words = string.Join(", ", moved);
        return words.Length == 0 ? "changes little" : words;
    }
}
