using System.Collections.Immutable;
using Bellwire.Workshop;

namespace Bellwire.Counsel;

/// <summary>A reading with what it was taken under.</summary>
/// <param name="Feed">line, lamp, limited, or off.</param>
/// <param name="LineVolts">As it was said when the power came on; null when it was not.</param>
/// <param name="Warmth">off, cold (under five minutes of power) or warm.</param>
/// <param name="Stale">A mend or another hook-up came after it: it says nothing of the set as it stands.</param>
/// <param name="ShopPieces">The shop's own pieces that sat in the set meanwhile.</param>
public sealed record ReadUnder(
    string EntryId, ReadingTaken Reading, DateTimeOffset At, string Feed, double? LineVolts, string Warmth, bool Stale, ImmutableArray<string> ShopPieces)
{
    /// <summary>"limited feed, 118 V line, warm", "unpowered".</summary>
    public string Words => Warmth == "off" ? "unpowered"
        : string.Create(System.Globalization.CultureInfo.InvariantCulture, $"{FeedWord(Feed)}{(LineVolts is { } v ? $", {v:0} V line" : "")}, {Warmth}{(ShopPieces.IsEmpty ? "" : ", with a piece of the shop’s in it")}");

    /// <summary>Readings under one of these words may be set beside each other: the feed and the warmth are alike.</summary>
    public string Alike => Warmth == "off" ? "off" : $"{Feed}/{Warmth}";

    public static string FeedWord(string feed) => feed switch
    {
        "limited" => "limited feed", "lamp" => "series lamp", "line" => "full line", _ => "feed not said",
    };
}

/// <summary>Every reading of a job's own set, in effective order, under its conditions.</summary>
public static class ReadingHistory
{
    /// <summary>After five minutes of power a set counts as warm, as the counsel's case has it.</summary>
    private static readonly TimeSpan Warm = TimeSpan.FromMinutes(5);

    /// <exception cref="ArgumentException">There is no such job.</exception>
    public static ImmutableArray<ReadUnder> Of(ShopState state, string job)
    {
        ArgumentNullException.ThrowIfNull(state);
        if (!state.Jobs.TryGetValue(job, out var known)) throw new ArgumentException($"There is no job {job}.", nameof(job));
        var list = new List<ReadUnder>();
        var (feed, volts, since) = ("off", (double?)null, default(DateTimeOffset));
        var inside = new Dictionary<string, string>();
        void Changed() { for (var i = 0; i < list.Count; i++) list[i] = list[i] with { Stale = true }; }
        foreach (var entry in state.TapeOf(job))
        {
            var at = entry.Done ?? entry.Entered;
            switch (entry.Act)
            {
                case Powered p when p.System == known.System: (feed, volts, since) = (p.Feed, p.LineVolts ?? volts, at); break;
                case Unpowered u when u.System == known.System: feed = "off"; break;
                case SystemSetUp y when y.System == known.System: inside = y.Pieces.ToDictionary(); break;
                case Fitted f when f.System == known.System: inside[f.Position] = f.Piece; Changed(); break;
                case Pulled p when p.System == known.System: inside.Remove(p.Position); Changed(); break;
                case HookUpRepaired h when h.System == known.System: inside = h.Pieces.ToDictionary(); Changed(); break;
                case Mended: Changed(); break;
                case ReadingTaken r when r.System == known.System:
                    var powered = feed == "off" ? r.Circumstances.GetValueOrDefault("feed", "off") : feed;
                    var warmth = powered == "off" ? "off" : r.Circumstances.GetValueOrDefault("warmth") ?? (at - since >= Warm ? "warm" : "cold");
                    list.Add(new(entry.Id, r, at, powered, powered == "off" ? null : volts, warmth, false,
                        [.. inside.Values.Where(p => state.Pieces.GetValueOrDefault(p)?.Owner == Party.Shop).Order(StringComparer.Ordinal)]));
                    break;
            }
        }
        return [.. list];
    }
}
