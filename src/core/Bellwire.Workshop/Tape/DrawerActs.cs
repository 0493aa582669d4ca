using System.Collections.Immutable;

namespace Bellwire.Workshop;

/// <summary>Parts of one kind laid into the shop's drawer.</summary>
/// <param name="Rule">Id of the mend rule they fall under.</param>
/// <param name="Values">Their markings by the rule's fields, as typed.</param>
/// <param name="Origin">new, used, or the donor they came out of.</param>
public sealed record PartShelved(string Part, string Rule, string Name, ImmutableDictionary<string, string> Values, int Count, string Place, string? Origin = null) : Act;

/// <summary>The drawer was counted: so many are left, wherever the others went.</summary>
public sealed record PartCounted(string Part, int Count, string? Place = null) : Act;
