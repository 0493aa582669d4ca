namespace Bellwire.Counsel;

/// <summary>Evidence in words. Decibans: 10·log10 of the change in odds (Good, Probability and the Weighing of Evidence, 1950; from memory).</summary>
public static class Weight
{
    public static string Word(double decibans) => decibans switch
    {
        >= 10 => "strongly for",
        >= 3 => "for",
        > -3 => "little either way",
        > -10 => "against",
        _ => "strongly against",
    };

    public static string Suspicion(double probability) => probability switch
    {
        >= 0.9 => "all but sure",
        >= 0.6 => "strongly suspected",
        >= 0.25 => "suspected",
        >= 0.06 => "possible",
        >= 0.01 => "unlikely",
        _ => "all but cleared",
    };
}
