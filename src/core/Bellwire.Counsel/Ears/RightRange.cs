using System.Collections.Immutable;
using System.Globalization;
using Bellwire.Sheets;

namespace Bellwire.Counsel.Ears;

/// <summary>What a check that a recording answers takes for right, in words.</summary>
public static class RightRange
{
    /// <returns>Such as "640 to 679 Hz" or "none"; null when the sheet says of no outcome that a good set shows it.</returns>
    public static string? Of(CheckSpec check)
    {
        ArgumentNullException.ThrowIfNull(check);
        if (!check.Limits.IsDefaultOrEmpty)
            return string.Join(", ", check.Limits.Select(l => Say($"{l.LowHertz:0} to {l.HighHertz:0} Hz {l.LowDb:+0.#;−0.#;0} to {l.HighDb:+0.#;−0.#;0} dB"))) + ", re 1 kHz";
        ImmutableHashSet<string> good = [.. check.Matrix.Where(m => m.Value.GetValueOrDefault("good") >= 0.5).Select(m => m.Key)];
        if (check.Ear is { } measure && EarMeasures.Numbers.TryGetValue(measure, out var unit))
            return check.Bands.Where(b => good.Contains(b.Key)).Select(b => Say($"{b.Value.Low:0.###;−0.###;0} to {b.Value.High:0.###;−0.###;0} {unit}")).FirstOrDefault();
        var words = check.Hears.Where(h => good.Contains(h.Value)).Select(h => h.Key).Order(StringComparer.Ordinal).ToList();
        return words.Count == 0 ? null : string.Join(" or ", words);
    }

    private static string Say(FormattableString words) => words.ToString(CultureInfo.InvariantCulture);
}
