using System.Collections.Concurrent;
using System.Collections.Immutable;

namespace Bellwire.Sheets.Generic;

/// <summary>The block model for a set without a sheet of its own. Its odds are general, and it says so.</summary>
public static class GenericSheet
{
    public const string Id = "unknown-set";

    /// <summary>The short name it also answers to.</summary>
    public const string Alias = "generic";
    public const int MostRooms = 40, MostDoors = 40;
    private static readonly ConcurrentDictionary<string, TypeSheet> cut = new(StringComparer.Ordinal);

    /// <summary>The generic sheet cut to a set. Unknown eras, feeds and features count as "unknown" and absent; rooms and doors are held to 0..40.</summary>
    public static TypeSheet For(Outline outline)
    {
        ArgumentNullException.ThrowIfNull(outline);
        var has = outline.Has.IsDefault ? ImmutableArray<string>.Empty : outline.Has;
        var fitted = new Outline(
            Outline.Eras.Contains(outline.Era) ? outline.Era : "unknown",
            Outline.Feeds.Contains(outline.Feed) ? outline.Feed : "unknown",
            Math.Clamp(outline.Rooms, 0, MostRooms), Math.Clamp(outline.Doors, 0, MostDoors),
            [.. Outline.Features.Where(f => has.Contains(f))]);
        var key = $"{fitted.Era}|{fitted.Feed}|{fitted.Rooms}|{fitted.Doors}|{string.Join(',', fitted.Has)}";
        return cut.GetOrAdd(key, _ => Read(fitted));
    }

    private static TypeSheet Read(Outline outline)
    {
        var (name, text) = ShippedSheets.Texts.Single(t => t.FileName == ShippedSheets.GenericFile);
        var result = SheetReader.Read(text, name, outline);
        return result.Sheet ?? throw new InvalidOperationException($"The shipped generic sheet does not read for {outline}: {string.Join("; ", result.Lines(name))}");
    }
}
