using System.Collections.Immutable;
using Bellwire.Workshop;

namespace Bellwire.Store;

/// <summary>An act put to the journal.</summary>
/// <param name="EntryId">Made by the client: the same id again is answered with the first entry, nothing is recorded twice.</param>
/// <param name="After">A late entry: takes effect right after this entry number.</param>
/// <param name="Done">When it was done, if not now.</param>
/// <param name="Texts">Free text and personal data the act refers to; stored in the same transaction, erasable.</param>
public sealed record Proposal(string EntryId, Act Act, long? After = null, DateTimeOffset? Done = null, ImmutableArray<PersonalText> Texts = default)
{
    /// <summary>Set when the entry comes from another shop's tape.</summary>
    internal Brought? From { get; init; }
}

/// <summary>What an imported entry keeps: when it was first recorded, the act's JSON to the letter (fields this version does not know too),
/// and the jobs of an act whose kind is not known here.</summary>
internal sealed record Brought(DateTimeOffset Entered, string Act, ImmutableArray<string> Jobs);

/// <param name="Party">Whose data it is: "owner:JOB" or "shop".</param>
public sealed record PersonalText(string Ref, string Party, string Text);

/// <summary>The journal's answer.</summary>
public abstract record Recorded
{
    /// <summary>Durable.</summary>
    public sealed record Accepted(Entry Entry) : Recorded;
    public sealed record Refused(string Why, ImmutableArray<string> Details, bool Overridable) : Recorded
    {
        /// <summary>Numbers of the later entries in the way.</summary>
        public ImmutableArray<long> Standing { get; init; } = [];
    }
}
