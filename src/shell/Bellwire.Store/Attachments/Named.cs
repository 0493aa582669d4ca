using Bellwire.Workshop;

namespace Bellwire.Store;

/// <summary>Which attachments an entry names, and whose they are.</summary>
internal static class Named
{
    /// <summary>Content hash and the job it belongs to; null = the shop's own.</summary>
    public static IEnumerable<(string Hash, string? Job)> By(Act act) => act switch
    {
        Photographed p => [(p.ContentHash, p.Job)],
        PaperSent p => [(p.ContentHash, p.Job)],
        SoundKept s => [(s.ContentHash, s.Job)],
        ShopDetailSet { Item: "logo", Value.Length: > 0 } d => [(d.Value, null)],
        SheetGrown g => new[] { g.FromHash, g.ToHash }.Where(h => h.Length > 0).Select(h => (h, (string?)null)),
        _ => [],
    };

    public static IEnumerable<(string Hash, string? Job)> In(IEnumerable<Entry> entries) => entries.SelectMany(e => By(e.Act));
}
