using System.Collections.Immutable;
using System.Globalization;
using Bellwire.Sheets;

namespace Bellwire.Counsel.Ears;

/// <summary>A measure and the limits it is held to, as one writes them: <c>level -14..-10</c>, <c>distortion ..1</c>,
/// <c>response 100..8000 -3..3</c> (from..to Hz, lowest..highest dB re 1 kHz). Units may stand behind the numbers.</summary>
public sealed record HeldTo(string Measure, EarLimits Limits)
{
    private static readonly CultureInfo Invariant = CultureInfo.InvariantCulture;

    /// <summary>Reads one, or says in one sentence what is wrong with it.</summary>
    public static (HeldTo? Held, string Why) Parse(string written)
    {
        ArgumentNullException.ThrowIfNull(written);
        var words = written.Split((char[]?)null, StringSplitOptions.RemoveEmptyEntries);
        var measure = words.Length == 0 ? "" : words[0];
        if (measure != "response" && !EarMeasures.Numbers.ContainsKey(measure))
            return (null, $"“{measure}” is no measure with limits; there are {string.Join(", ", EarMeasures.Numbers.Keys.Append("response").Order(StringComparer.Ordinal))}");
        string[] units = measure == "response" ? ["Hz", "dB"] : EarMeasures.Numbers[measure].Split(' ');
        var ranges = words.Skip(1).Where(w => !units.Contains(w)).ToList();
        var wanted = measure == "response" ? 2 : 1;
        if (ranges.Count != wanted) return (null, $"“{written}”: write {(wanted == 2 ? "response FROM..TO LOW..HIGH, in Hz and dB" : $"{measure} LOW..HIGH, in {EarMeasures.Numbers[measure]}; one of the two may be left out")}");
        var read = new List<(double? Low, double? High)>();
        foreach (var range in ranges)
        {
            if (range.Split("..") is not [var low, var high] || !TryNumber(low, out var from) || !TryNumber(high, out var to) || (from is null && to is null))
                return (null, $"“{range}” in “{written}” is no range: write LOW..HIGH");
            if (from >= to) return (null, $"“{range}” in “{written}”: the lower limit comes first");
            read.Add((from, to));
        }
        if (measure != "response") return (new(measure, new(read[0].Low, read[0].High, [])), "");
        if (read.Any(r => r.Low is null || r.High is null)) return (null, $"“{written}”: a response takes all four numbers");
        if (read[0].Low < 10 || read[0].High > 90_000) return (null, $"“{written}”: the limits of a response lie between 10 and 90 000 Hz");
        return (new(measure, new(null, null, [new(read[0].Low!.Value, read[0].High!.Value, read[1].Low!.Value, read[1].High!.Value)])), "");
    }

    /// <summary>Several of them, those of a response put together: they are one curve.</summary>
    public static ImmutableArray<HeldTo> Gather(IEnumerable<HeldTo> all)
    {
        ArgumentNullException.ThrowIfNull(all);
        return [.. all.GroupBy(h => h.Measure == "response" ? "response" : h.ToString()).Select(g => g.Key != "response" ? g.First() : new HeldTo("response", new(null, null, [.. g.SelectMany(h => h.Limits.Response)])))];
    }

    private static bool TryNumber(string text, out double? number)
    {
        number = null;
        if (text.Length == 0) return true;
        if (!double.TryParse(text.Replace('−', '-'), NumberStyles.Float, Invariant, out var value) || !double.IsFinite(value)) return false;
        number = value;
        return true;
    }
}
