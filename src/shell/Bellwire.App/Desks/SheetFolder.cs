using System.Collections.Concurrent;
using System.Globalization;
using Bellwire.Sheets;
using Bellwire.Sheets.Generic;
using Bellwire.Workshop;

namespace Bellwire.App.Desks;

/// <summary>The library of type sheets as the pages ask for it; the block model is cut once to each outline.</summary>
internal sealed class SheetFolder
{
    private readonly SheetLibrary library = SheetLibrary.Of([]);
    private readonly ConcurrentDictionary<string, TypeSheet> cut = new(StringComparer.Ordinal);

    public static SheetFolder Shipped() => new();

    /// <summary>The families, and last the block model for a set without one.</summary>
    public IReadOnlyList<TypeSheet> All => [.. library.All.OrderBy(s => s.Title, StringComparer.Ordinal), Cut(new("unknown", "unknown", 3, 1, ["tuner"]))];

    public IReadOnlyList<string> Complaints => [.. library.Refused.SelectMany(r => r.Value.Select(c => $"{r.Key}:{c.Line}:{c.Column}: {c.Message}"))];

    /// <summary>The sheet a job goes by: the one it pinned, else the block model cut to what the owner told.</summary>
    public TypeSheet For(JobState job)
    {
        var o = job.Outline;
        var outline = new Outline(Known(o.Era, Outline.Eras), Known(o.Feed, Outline.Feeds), Math.Clamp(o.Rooms, 0, 40), Math.Clamp(o.Doors, 0, 40), [.. o.Has.Where(Outline.Features.Contains).Order(StringComparer.Ordinal)]);
        return library.All.FirstOrDefault(s => s.Id == job.SheetId) ?? Cut(outline);
    }

    private TypeSheet Cut(Outline o) => cut.GetOrAdd(
        string.Create(CultureInfo.InvariantCulture, $"{o.Era}/{o.Feed}/{o.Rooms}/{o.Doors}/{string.Join(",", o.Has)}"), _ => GenericSheet.For(o));

    private static string Known(string word, IEnumerable<string> words) => words.Contains(word) ? word : "unknown";
}
