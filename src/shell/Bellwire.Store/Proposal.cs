using System.Collections.Immutable;
using Bellwire.Workshop;

namespace Bellwire.Store;

/// <summary>An act put to the journal.</summary>
/// <param name="EntryId">Made by the client: the same id again is answered with the first entry, nothing is recorded twice.</param>
/// <param name="After">A late entry: takes effect right after this entry number.</param>
/// <param name="Done">When it was done, if not now.</param>
/// <param name="Texts">Free text and personal data the act refers to; stored in the same transaction, erasable.</param>
public sealed record Proposal(string EntryId, Act Act, long? After = null, DateTimeOffset? Done = null, ImmutableArray<PersonalText> Texts = default);

/// <param name="Party">Whose data it is: "owner:JOB" or "shop".</param>
public sealed record PersonalText(string Ref, string Party, string Text);

/// <summary>The journal's answer.</summary>
public abstract record Recorded
{
    /// <summary>Durable.</summary>
    public sealed record Accepted(Entry Entry) : Recorded;
    public sealed record Refused(string Why, ImmutableArray<string> Details, bool Overridable) : Recorded;
}
