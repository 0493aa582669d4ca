using System.Collections.Concurrent;
using System.Globalization;
using Bellwire.Sheets;
using Bellwire.Sheets.Generic;
using Bellwire.Workshop;

namespace Bellwire.App.Desks;

/// <summary>The library of type sheets as the pages ask for it: the shipped ones and those of the shop's own folder; the block model is cut once to each outline.</summary>
internal sealed class SheetFolder
{
    private readonly string? folder;
    private readonly ConcurrentDictionary<string, TypeSheet> cut = new(StringComparer.Ordinal);
    private volatile SheetLibrary library;

    private SheetFolder(string? folder) => (this.folder, library) = (folder, SheetLibrary.Of(Own(folder)));

    public static SheetFolder Shipped() => new(null);

    /// <summary>Beside the shop's file, so that it moves with it; a sheet there stands before a shipped one of the same id.</summary>
    public static SheetFolder Beside(string dataPath) => new(dataPath + ".sheets");

    /// <summary>The families, and last the block model for a set without one.</summary>
    public IReadOnlyList<TypeSheet> All => [.. library.All.OrderBy(s => s.Title, StringComparer.Ordinal), Cut(new("unknown", "unknown", 3, 1, ["tuner"]))];

    public IReadOnlyList<string> Complaints => [.. library.Refused.SelectMany(r => r.Value.Select(c => $"{r.Key}:{c.Line}:{c.Column}: {c.Message}"))];

    /// <summary>The sheet a job goes by: the one it pinned, else the block model cut to what the owner told.</summary>
    public TypeSheet For(JobState job) => library.All.FirstOrDefault(s => s.Id == job.SheetId) ?? Cut(OutlineOf(job));

    public static Outline OutlineOf(JobState job)
    {
        var o = job.Outline;
        return new(Known(o.Era, Outline.Eras), Known(o.Feed, Outline.Feeds), Math.Clamp(o.Rooms, 0, 40), Math.Clamp(o.Doors, 0, 40), [.. o.Has.Where(Outline.Features.Contains).Order(StringComparer.Ordinal)]);
    }

    /// <summary>True when the family has a sheet of its own, be its odds still the general ones.</summary>
    public bool HasFamily(string id) => library.All.Any(s => s.Id == id);

    /// <summary>The text of a family's sheet, or null when there is none of that id.</summary>
    public string? TextOf(string id) => Own(folder).Concat(ShippedSheets.Texts)
        .FirstOrDefault(t => SheetReader.Read(t.Text, t.FileName).Sheet?.Id == id).Text;

    /// <summary>Writes a sheet that was read as good, whole or not at all, and takes it into the library.</summary>
    public void Save(string id, string text)
    {
        if (folder is null) throw new InvalidOperationException("The shipped sheets are not written to.");
        Directory.CreateDirectory(folder);
        var target = Path.Combine(folder, id + ".yaml");
        using (var file = File.Create(target + ".new"))
        {
            file.Write(System.Text.Encoding.UTF8.GetBytes(text));
            file.Flush(flushToDisk: true);
        }
        File.Move(target + ".new", target, overwrite: true);
        library = SheetLibrary.Of(Own(folder));
    }

    /// <summary>The text in the shop's own file of that name, good or not; null when there is none.</summary>
    public string? OwnText(string id) => Holds(id) ? File.ReadAllText(Path.Combine(folder!, id + ".yaml")) : null;

    private bool Holds(string id) => folder is not null && File.Exists(Path.Combine(folder, id + ".yaml"));

    private static IEnumerable<(string FileName, string Text)> Own(string? folder) => folder is null || !Directory.Exists(folder) ? []
        : [.. Directory.EnumerateFiles(folder, "*.yaml").Order(StringComparer.Ordinal).Select(f => (Path.GetFileName(f), File.ReadAllText(f)))];

    private TypeSheet Cut(Outline o) => cut.GetOrAdd(
        string.Create(CultureInfo.InvariantCulture, $"{o.Era}/{o.Feed}/{o.Rooms}/{o.Doors}/{string.Join(",", o.Has)}"), _ => GenericSheet.For(o));

    private static string Known(string word, IEnumerable<string> words) => words.Contains(word) ? word : "unknown";
}
