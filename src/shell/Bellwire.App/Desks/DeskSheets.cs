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

    /// <summary>The owner's house as the tape knows it.</summary>
    public HouseMap House(string job) => HouseMap.Of(State, job, SheetOf(job));

    /// <summary>Puts things into the job's sheet, pins the job to it, and says so on the tape.</summary>
    /// <returns>The acts to record, or why not.</returns>
    internal async Task<(IReadOnlyList<Act> Acts, string? Why)> Grow(string job, IReadOnlyList<Promotable> what, CancellationToken stop)
    {
        var sheet = SheetOf(job);
        if (sheet.GeneralOdds || sheets.TextOf(sheet.Id) is not { } text) return ([], "This set has no family’s sheet yet: name the family first.");
        var grown = SheetGrower.Grow(text, [.. what.SelectMany(p => p.Growths)]);
        if (grown.Text is null) return ([], grown.Why);
        var from = await KeepText(text, stop);
        var to = await KeepText(grown.Text, stop);
        sheets.Save(sheet.Id, grown.Text);
        return ([.. what.Select(p => new SheetGrown(job, sheet.Id, from, to, p.What, p.Name)), new SheetPinned(job, sheet.Id, to, OddsVersionOf(sheet.Id), EngineVersion)], null);
    }

    /// <summary>Begins a family of the job's set from the block model.</summary>
    internal async Task<(IReadOnlyList<Act> Acts, string? Why)> BeginFamily(string job, string id, string title, CancellationToken stop)
    {
        if (Sheets.Any(s => s.Id == id)) return ([], $"There is a sheet {id} already; choose another name.");
        var begun = SheetGrower.NewFamily(id, title, SheetFolder.OutlineOf(Job(job)));
        if (begun.Text is null) return ([], begun.Why);
        var to = await KeepText(begun.Text, stop);
        sheets.Save(id, begun.Text);
        return ([new SheetGrown(job, id, "", to, "family", title), new SheetPinned(job, id, to, "1", EngineVersion)], null);
    }

    private async Task<string> KeepText(string text, CancellationToken stop)
    {
        using var bytes = new MemoryStream(Encoding.UTF8.GetBytes(text));
        return await shop.Files.Keep(bytes, stop);
    }

    /// <summary>A shop restored from its backup gets its own sheets back from the kept texts.</summary>
    private void LayOutSheets()
    {
        foreach (var grown in State.Effective.Select(e => e.Act).OfType<SheetGrown>().GroupBy(g => g.SheetId).Select(g => g.Last()))
        {
            if (sheets.Holds(grown.SheetId) || shop.Files.Open(grown.ToHash) is not { } kept) continue;
            using var reader = new StreamReader(kept, Encoding.UTF8);
            sheets.Save(grown.SheetId, reader.ReadToEnd());
        }
    }
}
