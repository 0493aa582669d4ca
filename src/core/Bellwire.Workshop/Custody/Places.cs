namespace Bellwire.Workshop;

/// <summary>Names of places that mean something to the laws.</summary>
public static class Places
{
    public const string Bench = "bench";
    public const string Shelf = "shelf";

    /// <summary>Never sent: stays in the owner's house, is not packed.</summary>
    public const string House = "house";

    /// <summary>"shelf", "shelf B2" …: a shop's piece laid there is no longer lent.</summary>
    public static bool IsShelf(string place) => place == Shelf || place.StartsWith(Shelf + " ", StringComparison.Ordinal);
}
