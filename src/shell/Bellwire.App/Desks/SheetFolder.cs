using System.Collections.Concurrent;
using System.Globalization;
using Bellwire.Sheets;
using Bellwire.Workshop;

namespace Bellwire.App.Desks;

/// <summary>The type sheets beside the program, read once; a block model is cut to each job's outline.</summary>
internal sealed class SheetFolder
{
    private readonly Dictionary<string, (TypeSheet Sheet, string Text)> known = new(StringComparer.Ordinal);
    private readonly ConcurrentDictionary<string, TypeSheet> cut = new(StringComparer.Ordinal);
    private readonly List<string> complaints = [];

    public static SheetFolder Shipped() => new(Path.Combine(AppContext.BaseDirectory, "sheets"));

    /// <exception cref="InvalidDataException">No block model (a sheet with general odds) is there.</exception>
    public SheetFolder(string folder)
    {
        if (!Directory.Exists(folder)) throw new InvalidDataException($"The type sheets are missing: there is no folder {folder}.");
        foreach (var file in Directory.EnumerateFiles(folder, "*.yaml").Order(StringComparer.Ordinal))
        {
            var text = File.ReadAllText(file);
            var result = SheetReader.Read(text, Path.GetFileName(file));
            if (result.IsGood) known[result.Sheet.Id] = (result.Sheet, text);
            else complaints.AddRange(result.Lines(Path.GetFileName(file)));
        }
        if (known.Values.All(k => !k.Sheet.GeneralOdds)) throw new InvalidDataException($"No block model for unknown sets is in {folder}. {string.Join(" ", complaints.Take(3))}");
    }

    public IReadOnlyList<TypeSheet> All => [.. known.Values.Select(k => k.Sheet).OrderBy(s => s.GeneralOdds).ThenBy(s => s.Title, StringComparer.Ordinal)];
    public IReadOnlyList<string> Complaints => complaints;

    /// <summary>The sheet a job goes by: the one it pinned, else the block model cut to what the owner told.</summary>
    public TypeSheet For(JobState job)
    {
        if (job.SheetId is { } id && known.TryGetValue(id, out var named) && !named.Sheet.GeneralOdds) return named.Sheet;
        var (model, text) = known.Values.First(k => k.Sheet.GeneralOdds);
        var o = job.Outline;
        var outline = new Outline(Known(o.Era, Outline.Eras), Known(o.Feed, Outline.Feeds), Math.Clamp(o.Rooms, 0, 40), Math.Clamp(o.Doors, 0, 40), [.. o.Has.Where(Outline.Features.Contains).Order(StringComparer.Ordinal)]);
        var key = string.Create(CultureInfo.InvariantCulture, $"{outline.Era}/{outline.Feed}/{outline.Rooms}/{outline.Doors}/{string.Join(",", outline.Has)}");
        return cut.GetOrAdd(key, _ => SheetReader.Read(text, model.Id, outline).Sheet ?? model);
    }

    private static string Known(string word, IEnumerable<string> words) => words.Contains(word) ? word : "unknown";
}
