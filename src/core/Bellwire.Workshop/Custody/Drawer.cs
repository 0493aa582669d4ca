using System.Collections.Immutable;

namespace Bellwire.Workshop;

/// <summary>Parts of one kind in the drawer: interchangeable, so counted and not named one by one.</summary>
public sealed record DrawerPart(string Id, string Rule, string Name, ImmutableDictionary<string, string> Values, int Count, string Place, string? Origin);

/// <summary>What becomes of the old part.</summary>
public static class OldParts
{
    public const string Kept = "kept", Returned = "returned", Thrown = "thrown away";

    /// <summary>Some places give the owner a right to the old parts: returned ones are counted into the box like screws.</summary>
    public static readonly ImmutableArray<string> Ways = [Kept, Returned, Thrown];

    /// <summary>The name under which a returned old part is counted.</summary>
    public static string Item(string part) => "old part: " + part;
}

internal static class Drawer
{
    public static ShopState Apply(ShopState s, Act act) => act switch
    {
        PartShelved a => s with { Parts = s.Parts.SetItem(a.Part, new(a.Part, a.Rule, a.Name, a.Values, a.Count, a.Place, a.Origin)) },
        PartCounted a => s with { Parts = s.Parts.SetItem(a.Part, s.Parts[a.Part] with { Count = a.Count, Place = a.Place ?? s.Parts[a.Part].Place }) },
        PartUsed { Stock: { } part } a => s with { Parts = s.Parts.SetItem(part, s.Parts[part] with { Count = s.Parts[part].Count - (a.Count ?? 1) }) },
        _ => s,
    };
}
