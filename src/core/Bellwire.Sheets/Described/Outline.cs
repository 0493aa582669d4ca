using System.Collections.Immutable;

namespace Bellwire.Sheets;

/// <summary>What anybody can tell of a set by looking at it: enough to cut a block model to its size.</summary>
/// <param name="Era">tube, transistor, cassette, microprocessor, later or unknown.</param>
/// <param name="Feed">transformer, centre-tapped, adapter, line-direct, battery or unknown.</param>
/// <param name="Rooms">Room stations, 0..40.</param>
/// <param name="Doors">Door stations, 0..40.</param>
/// <param name="Has">tuner, cassette, clock, chime; positive ground: the chassis is the plus of the supply.</param>
public sealed record Outline(string Era, string Feed, int Rooms, int Doors, ImmutableArray<string> Has)
{
    public static ImmutableArray<string> Eras { get; } = ["tube", "transistor", "cassette", "microprocessor", "later", "unknown"];
    public static ImmutableArray<string> Feeds { get; } = ["transformer", "centre-tapped", "adapter", "line-direct", "battery", "unknown"];
    public static ImmutableArray<string> Features { get; } = ["tuner", "cassette", "clock", "chime", "positive ground"];
}
