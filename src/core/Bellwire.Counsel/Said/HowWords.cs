using System.Collections.Immutable;
using System.Globalization;
using Bellwire.Reasoning;

namespace Bellwire.Counsel;

/// <summary>How good the figures are: one line in plain words, and the figures behind it for those who ask.</summary>
public static class HowWords
{
    /// <summary>Weight left out that nobody would notice in a figure said in words (estimate).</summary>
    private const double Little = 0.01;

    /// <summary>Null when it was reckoned exactly and there is nothing to mind.</summary>
    public static string? Of(HowGot how) => how switch
    {
        { Drawn: { EffectiveSize: < Sampling.Thin } } => "Reckoned by lot, and thinly: take the figures as rough",
        { Drawn: { } drawn } => string.Create(CultureInfo.InvariantCulture, $"Reckoned by lot: figures are good to ± {Math.Max(drawn.WorstStandardError, 0.0001):0.####}"),
        { Exact: false, LostMass: < Little } => "Rounded off where next to nothing hangs on it",
        { Exact: false } => string.Create(CultureInfo.InvariantCulture, $"Rounded off: up to {how.LostMass:P0} of the weight is left out"),
        { Warnings.IsEmpty: false } => "Reckoned exactly, with something to mind",
        _ => null,
    };

    public static ImmutableArray<string> Figures(HowGot how)
    {
        ArgumentNullException.ThrowIfNull(how);
        return how is { Exact: false, Drawn: null } ? [Rounded(how), .. how.Warnings] : how.Warnings;
    }

    internal static string Rounded(HowGot how) =>
        string.Create(CultureInfo.InvariantCulture, $"Not reckoned exactly ({how.Method}{(how.LostMass > 0 ? $", up to {how.LostMass:P2} of the weight left out" : "")}).");
}
