using System.Globalization;
using Bellwire.Signals;

namespace Bellwire.App.Ears;

/// <summary>What happened in a soak, in words.</summary>
internal static class EventWords
{
    /// <summary>Kind, when and how long, as part of a sentence.</summary>
    public static string Of(WatchEvent e) =>
        string.Create(CultureInfo.InvariantCulture, $"{Soak.Word(e.Kind)} at {At(e.At)}{(e.Seconds is { } s ? e.Kind is WatchKind.Clicks ? "" : s < 1 ? $" for {1000 * s:0} ms" : $" for {s:0.#} s" : ", still so")}");

    /// <summary>Since the watch began, as a clock would count: 0:03:20.</summary>
    private static string At(double seconds) => string.Create(CultureInfo.InvariantCulture, $"{Math.Floor(seconds / 3600):0}:{Math.Floor(seconds / 60) % 60:00}:{Math.Floor(seconds) % 60:00}");
}
