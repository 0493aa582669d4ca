namespace Bellwire.Circuits.Shapes;

/// <summary>What a part's marking says, for the numbers every maker uses. Null: not in these tables, and then the values are asked for.</summary>
public static partial class Markings
{
    /// <summary>Takes off blanks and case, so that <c>1n 4002</c> is found.</summary>
    private static string Plain(string marking)
    {
        ArgumentNullException.ThrowIfNull(marking);
        return string.Concat(marking.Where(char.IsAsciiLetterOrDigit)).ToUpperInvariant();
    }
}
