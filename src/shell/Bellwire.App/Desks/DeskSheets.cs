using System.Collections.Immutable;
using System.Text;
using Bellwire.Counsel;
using Bellwire.Sheets;
using Bellwire.Sheets.Growing;
using Bellwire.Workshop;

namespace Bellwire.App.Desks;

/// <summary>What grows out of jobs into the family's sheets. Both texts are kept by their hash: an old pin can always be read again.</summary>
public sealed partial class Desk
{
    public ImmutableArray<Promotable> Promotables(string job) => Promotion.From(State, job, SheetOf(job), GoodSets(job));

    /// <summary>True when the job goes by its family's own sheet, false by the block model.</summary>
    public bool HasFamily(string job) => sheets.HasFamily(SheetOf(job).Id);

    /// <summary>The owner's house as the tape knows it.</summary>
    public HouseMap House(string job) => HouseMap.Of(State, job, SheetOf(job));

    /// <summary>Puts things into the job's sheet, pins the job to it, and says so on the tape. The text is kept first, the journal names it
    /// next, the family's file comes last: a crash in between leaves a lawful shop, and the next opening writes the file.</summary>
    /// <returns>The acts to record with <see cref="Take"/>, or why not.</returns>
    internal async Task<(IReadOnlyList<Act> Acts, string? Why)> Grow(string job, IReadOnlyList<Promotable> what, CancellationToken stop)
    {
        var sheet = SheetOf(job);
        if (!HasFamily(job) || sheets.TextOf(sheet.Id) is not { } text) return ([], "This set has no family’s sheet yet: name the family first.");
        var grown = SheetGrower.Grow(text, [.. what.SelectMany(p => p.Growths)]);
        if (grown.Text is null) return ([], grown.Why);
        var from = await KeepText(text, stop);
        var to = await KeepText(grown.Text, stop);
        return ([.. what.Select(p => new SheetGrown(job, sheet.Id, from, to, p.What, p.Name)), new SheetPinned(job, sheet.Id, to, OddsVersionOf(sheet.Id), EngineVersion)], null);
    }

    /// <summary>Begins a family of the job's set from the block model.</summary>
    internal async Task<(IReadOnlyList<Act> Acts, string? Why)> BeginFamily(string job, string id, string title, CancellationToken stop)
    {
        if (Sheets.Any(s => s.Id == id)) return ([], $"There is a sheet {id} already; choose another name.");
        var begun = SheetGrower.NewFamily(id, title, SheetFolder.OutlineOf(Job(job)));
        if (begun.Text is null) return ([], begun.Why);
        var to = await KeepText(begun.Text, stop);
        return ([new SheetGrown(job, id, "", to, "family", title), new SheetPinned(job, id, to, "1", EngineVersion)], null);
    }

    private async Task<string> KeepText(string text, CancellationToken stop)
    {
        using var bytes = new MemoryStream(Encoding.UTF8.GetBytes(text));
        return await shop.Files.Keep(bytes, stop);
    }

    /// <summary>Records what grew and writes the sheet it names.</summary>
    internal void Take(Action record)
    {
        record();
        LayOutSheets();
        thoughts.Clear(); // a page of the moment between weighed by the sheet of before
    }

    /// <summary>Every sheet the journal names stands in its file: one that is missing (a shop restored from its backup), and one that still is
    /// what it was before its last growth (a crash between journal and file). A file changed by hand is left alone.</summary>
    private void LayOutSheets()
    {
        foreach (var grown in State.Effective.Select(e => e.Act).OfType<SheetGrown>().GroupBy(g => g.SheetId).Select(g => g.Last()))
        {
            if (sheets.OwnText(grown.SheetId) is { } now && (grown.FromHash == grown.ToHash || HashOf(now) != grown.FromHash)) continue;
            if (shop.Files.Open(grown.ToHash) is not { } kept) continue;
            using var reader = new StreamReader(kept, Encoding.UTF8);
            sheets.Save(grown.SheetId, reader.ReadToEnd());
        }
    }

    private static string HashOf(string text) => Convert.ToHexStringLower(System.Security.Cryptography.SHA256.HashData(Encoding.UTF8.GetBytes(text)));
}
