using System.Collections.Immutable;
using System.Security.Cryptography;
using System.Text;
using System.Text.Json;
using Bellwire.Workshop;

namespace Bellwire.Store;

/// <summary>The stored form of one entry, format 1: UTF-8 JSON whose bytes are hashed as they stand.</summary>
internal sealed record Envelope(
    int Format, long Number, string Id, DateTimeOffset Entered, DateTimeOffset? Done, long? After,
    ImmutableArray<string> Jobs, ImmutableArray<string> Entities, string Kind, JsonElement Act, ImmutableArray<TextSeal> Texts)
{
    public const int CurrentFormat = 1;
    public static readonly byte[] Genesis = new byte[32];

    public byte[] ToBytes() => JsonSerializer.SerializeToUtf8Bytes(this, ActKinds.Json);

    /// <exception cref="StoreException">The bytes are of a newer format or not an entry.</exception>
    public static Envelope Parse(byte[] bytes, long number)
    {
        try
        {
            var envelope = JsonSerializer.Deserialize<Envelope>(bytes, ActKinds.Json) ?? throw new JsonException("empty");
            return envelope.Format <= CurrentFormat ? envelope
                : throw new StoreException($"Entry #{number} has format {envelope.Format}; this Bellwire reads up to {CurrentFormat}. Use a newer Bellwire.");
        }
        catch (JsonException e) { throw new StoreException($"Entry #{number} cannot be read: {e.Message}"); }
    }

    public Entry ToEntry(byte[] hash, byte[] previous) => new(
        Number, Id, Entered, Done, After, Jobs, Entities, ActKinds.Read(Kind, Act.GetRawText()), Convert.ToHexStringLower(hash), Convert.ToHexStringLower(previous));

    public static byte[] Chain(byte[] previous, byte[] bytes) => SHA256.HashData([.. previous, .. bytes]);
}

/// <summary>What the chain keeps of a text: where it is, and SHA-256 of its salt and bytes.</summary>
internal sealed record TextSeal(string Ref, string Party, string Sha256)
{
    public static (TextSeal Seal, byte[] Salt) Of(PersonalText text)
    {
        var salt = RandomNumberGenerator.GetBytes(16);
        return (new(text.Ref, text.Party, Hash(salt, text.Text)), salt);
    }

    public static string Hash(byte[] salt, string text) => Convert.ToHexStringLower(SHA256.HashData([.. salt, .. Encoding.UTF8.GetBytes(text)]));
}

/// <summary>The store cannot go on; the message says what to do.</summary>
/// <param name="badInput">True when a file handed in is not what it should be; false when the store refuses or lacks something.</param>
public sealed class StoreException(string message, bool badInput = false) : Exception(message)
{
    public bool BadInput => badInput;
}
