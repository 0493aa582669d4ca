using System.Globalization;
using Bellwire.Signals;

namespace Bellwire.App.Ears;

/// <summary>What happened in a soak, in words.</summary>
internal static class EventWords
{
    /// <summary>Kind, when and how long, as part of a sentence.</summary>
    public static string Of(WatchEvent e) =>
        string.Create(CultureInfo.InvariantCulture, $"{Soak.Word(e.Kind)} at {At(e.At)}{(e.Seconds is { } s ? e.Kind is WatchKind.Clicks ? "" : s < 1 ? $" for {1000 * s:0} ms" : $" for {s:0.#} s" : ", still so")}");

    /// <summary>What the machine missed in all, as part of a sentence.</summary>
    public static string Missed(IReadOnlyCollection<WatchGap> gaps) =>
        $"the PC missed {Long(gaps.Sum(g => g.Seconds))} of it{(gaps.Count == 1 ? "" : $" in {gaps.Count} places")}, which says nothing of the set";

    /// <summary>One gap, as part of a sentence.</summary>
    public static string Of(WatchGap gap) => $"{Long(gap.Seconds)} at {At(gap.At)}";

    private static string Long(double s) => string.Create(CultureInfo.InvariantCulture, $"{(s < 1 ? $"{1000 * s:0} ms" : s < 90 ? $"{s:0.#} s" : $"{s / 60:0} min")}");

    /// <summary>Since the watch began, as a clock would count: 0:03:20.</summary>
    private static string At(double seconds) => string.Create(CultureInfo.InvariantCulture, $"{Math.Floor(seconds / 3600):0}:{Math.Floor(seconds / 60) % 60:00}:{Math.Floor(seconds) % 60:00}");
}
