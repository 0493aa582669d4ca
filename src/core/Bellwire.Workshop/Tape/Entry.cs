using System.Collections.Immutable;

namespace Bellwire.Workshop;

/// <summary>One line of the shop's journal.</summary>
/// <param name="Number">Global, gapless, from 1; recorded order.</param>
/// <param name="Id">Made by the client, so that a retry is harmless.</param>
/// <param name="After">Effective order: this entry belongs right after entry number n (a late entry); null = where it was recorded.</param>
/// <param name="Done">When it was done, if said; <paramref name="Entered"/> when it was recorded (UTC).</param>
/// <param name="Jobs">Jobs touched; <paramref name="Entities"/> everything touched ("piece:…", "job:…", "system:…").</param>
public sealed record Entry(
    long Number, string Id, DateTimeOffset Entered, DateTimeOffset? Done, long? After,
    ImmutableArray<string> Jobs, ImmutableArray<string> Entities, Act Act, string Hash, string PreviousHash);

/// <summary>Parties: "shop" or "owner:…".</summary>
public static class Party
{
    public const string Shop = "shop";
    public static string OwnerOf(string job) => "owner:" + job;
}
