using System.Collections.Immutable;
using Bellwire.Counsel.Mends;
using Bellwire.Workshop;

namespace Bellwire.App.Desks;

/// <summary>Mends, the parts they took, and the drawer.</summary>
public sealed partial class Desk
{
    public ImmutableArray<SureMend> SureMends(string job) => Counsel.Mends.SureMends.Of(State, SheetOf(job), Think(job).Weighed);

    public IEnumerable<PartInStock> Drawer => State.Parts.Values.Select(p => new PartInStock(p.Id, p.Rule, p.Name, p.Values, p.Count, p.Place));

    public IReadOnlyList<DrawerPart> DrawerParts => [.. State.Parts.Values.OrderBy(p => p.Rule, StringComparer.Ordinal).ThenBy(p => p.Name, StringComparer.Ordinal)];

    /// <summary>What was mended on this tape and what went in, oldest first.</summary>
    public IReadOnlyList<Entry> MendsOf(string job) => [.. State.TapeOf(job).Where(e => e.Act is Mended or PartUsed)];

    /// <summary>A part went in: used, taken from the drawer, and its old one counted into the box when it goes back to the owner.</summary>
    internal List<Act> UseActs(PartUsed used)
    {
        var acts = new List<Act> { used };
        if (used.OldPart == OldParts.Returned)
        {
            var item = OldParts.Item(used.Part);
            acts.Add(new HardwareCounted(used.Job, item, (Job(used.Job).Hardware.GetValueOrDefault(item)?.Came ?? 0) + (used.Count ?? 1), null, "taken out and given back"));
        }
        return acts;
    }
}
