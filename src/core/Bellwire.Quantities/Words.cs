namespace Bellwire.Quantities;

/// <summary>Probabilities as a technician would say them.</summary>
public static class Words
{
    /// <summary>A probability 0..1 as "about 7 in 10", "1 in 40", "next to nothing".</summary>
    /// <exception cref="ArgumentOutOfRangeException">NaN or outside 0..1 (by more than rounding).</exception>
    public static string Band(double probability)
    {
        if (!(probability >= -1e-9 && probability <= 1 + 1e-9))
            throw new ArgumentOutOfRangeException(nameof(probability), probability, "A probability lies between 0 and 1.");
        return probability switch
        {
            >= 0.985 => "all but certain",
            >= 0.95 => "about 19 in 20",
            >= 0.05 => $"about {Math.Round(probability * 10, MidpointRounding.AwayFromZero):0} in 10".Replace("about 0 in 10", "about 1 in 20").Replace("about 10 in 10", "about 19 in 20"),
            >= 0.015 => $"about 1 in {Math.Round(1 / probability / 5) * 5:0}",
            >= 0.002 => $"about 1 in {Math.Round(1 / probability / 50) * 50:0}".Replace("1 in 0", "1 in 50"),
            _ => "next to nothing",
        };
    }

    /// <summary>A name as it stands inside a sentence: "Supply board" is "supply board", "AM tuner" stays.</summary>
    public static string Inside(string name) => name is [var first, var second, ..] && char.IsLower(second) ? char.ToLowerInvariant(first) + name[1..] : name;

    /// <summary>A length of work, 0 and up: "under a minute", "12 minutes", "2.5 hours".</summary>
    public static string Minutes(double minutes) => minutes switch
    {
        < 1 => "under a minute",
        < 1.5 => "1 minute",
        < 90 => $"{Math.Round(minutes):0} minutes",
        _ => FormattableString.Invariant($"{Math.Round(minutes / 30) / 2:0.#} hours"),
    };
}
