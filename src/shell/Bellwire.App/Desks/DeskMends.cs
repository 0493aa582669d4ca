using System.Collections.Immutable;
using Bellwire.Counsel;
using Bellwire.Counsel.Mends;
using Bellwire.Workshop;

namespace Bellwire.App.Desks;

/// <summary>Mends, the parts they took, and the drawer.</summary>
public sealed partial class Desk
{
    public ImmutableArray<SureMend> SureMends(string job) => Counsel.Mends.SureMends.Of(State, SheetOf(job), Think(job).Weighed, Offered(job));

    /// <summary>Places to be gone through part by part, as the bench offers it.</summary>
    public IReadOnlyList<MoveLine> ToGoThrough(string job) => [.. Offered(job).Where(m => Through(m) is not null)];

    /// <summary>The position a move goes through part by part; null for any other move.</summary>
    public static string? Through(MoveLine move) => move.Id.StartsWith("through:", StringComparison.Ordinal) ? move.Id["through:".Length..] : null;

    private IEnumerable<MoveLine> Offered(string job) => Advice(job).Moves.SelectMany(b => b.Moves);

    /// <summary>A piece gone through: every place the sheet knows in it, and its connector, cleaned. The minutes stand once.</summary>
    internal List<Act> ThroughActs(string job, SystemState system, string position, double minutes)
    {
        var family = SheetOf(job).Family;
        var acts = new List<Mended>();
        if (system.Pieces.TryGetValue(position, out var piece) && family.Kinds.FirstOrDefault(k => k.Id == State.Pieces[piece].Kind) is { } kind)
            acts.AddRange(kind.Sites.Select(s => new Mended(job, piece, null, null, s.Id, MendWords.GoneThrough, WellDone, 0)));
        if (family.Positions.FirstOrDefault(p => p.Id == position)?.ContactSite is { } contact)
            acts.Add(new(job, null, system.Id, position, contact, MendWords.Cleaned, WellDone, 0));
        if (acts.Count > 0) acts[0] = acts[0] with { Minutes = minutes };
        return [.. acts];
    }

    /// <summary>How often going through a place leaves it good (estimate).</summary>
    private const double WellDone = 0.95;

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
