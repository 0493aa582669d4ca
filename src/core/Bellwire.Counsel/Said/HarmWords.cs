using System.Collections.Immutable;
using Bellwire.Quantities;
using Bellwire.Reasoning;
using Bellwire.Sheets;
using Bellwire.Workshop;

namespace Bellwire.Counsel;

/// <summary>Which entry hurt which piece, as the tape now has it: said at the entry and at the suspect.</summary>
internal sealed class HarmWords
{
    /// <summary>Below this nothing is said of a harm (estimate).</summary>
    private const double Least = 0.05;

    private readonly ILookup<string, string> byEntry;
    private readonly ILookup<string, string> byKey;

    public HarmWords(ShopState state, string job, TypeSheet sheet, Weighing weighing, Namer names)
    {
        var numbers = state.TapeOf(job).ToDictionary(e => e.Id);
        var harms = Harm.Of(weighing, Least).Where(h => numbers.ContainsKey(h.Entry) && !(h.Site.Piece is { } p && Namer.IsStandIn(p))).ToList();
        byEntry = harms.ToLookup(h => h.Entry, h => $"{Words.Band(h.Probability)} that this killed {names.KeyName(h.Site)} ({SiteName(h.Site)}){Against(h)}");
        byKey = harms.ToLookup(h => names.Key(h.Site), h => $"killed when power went on at entry {numbers[h.Entry].Number}, {Words.Band(h.Probability)}{Against(h)}");

        string SiteName(SiteRef site) => sheet.Family.Kinds.SelectMany(k => k.Sites).Concat(sheet.Family.Positions.SelectMany(p => p.Sites)).FirstOrDefault(s => s.Id == site.Site)?.Name ?? site.Site;

        // The reason kept against a gate, for power or for the piece that went in, stands beside what came of it.
        string Against(Harm harm)
        {
            var at = numbers[harm.Entry];
            var fitted = state.TapeOf(job).LastOrDefault(e => e.Number <= at.Number && e.Act is Fitted f && f.Piece == harm.Site.Piece);
            return string.Concat(new[] { at, fitted }.OfType<Entry>().SelectMany(e => KeptReason.In(e.Act, sheet).Select(r => $"; entry {e.Number} went on although {r.About}: {r.Reason}")));
        }
    }

    public ImmutableArray<string> At(string entry) => [.. byEntry[entry]];

    public string? Of(string key) => byKey[key].FirstOrDefault();
}
