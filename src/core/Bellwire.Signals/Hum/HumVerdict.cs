using System.Collections.Immutable;

namespace Bellwire.Signals;

/// <summary>What the hum tells of its origin.</summary>
public enum HumKind
{
    /// <summary>No hum above the noise, or less than matters.</summary>
    None,
    /// <summary>The line's frequency and all its harmonics, evenly falling: a rectifier half is lost (or the set has only one by design).</summary>
    HalfMissing,
    /// <summary>Twice the line's frequency and its harmonics: the ripple of a dry reservoir.</summary>
    Ripple,
    /// <summary>The line's frequency with odd harmonics: pick-up, or a leak.</summary>
    PickUp,
    /// <summary>Two stories fit; the verdict is refused.</summary>
    Unclear,
    /// <summary>The null run shows as much: that was the lead. The verdict is refused.</summary>
    Lead,
}

/// <summary>A verdict and how firm it is.</summary>
/// <param name="StandOutDb">How far even harmonics stand above the smooth line through their odd neighbours, dB: high for ripple,
/// about 0 for a lost half, low for pick-up. Any smooth response in between leaves it as it is.</param>
/// <param name="MarginDb">How far the measure is from the nearest other verdict once its uncertainty is taken off, dB; negative when refused.</param>
/// <param name="Words">A sentence a technician would say.</param>
public sealed record HumVerdict(HumKind Kind, double StandOutDb, double UncertaintyDb, double MarginDb, string Words, ImmutableArray<string> Warnings)
{
    /// <summary>Where the verdicts part, dB of <see cref="StandOutDb"/>: above +6 ripple, below −6 pick-up (common practice, no source;
    /// a lost half reads −0.5 at the supply itself).</summary>
    public const double Border = 6;

    /// <summary>Judges a hum, beside a null run with the set off and the lead as it was.</summary>
    /// <param name="floorDbfs">Hum below this RMS level is no hum.</param>
    public static HumVerdict Of(Hum hum, Hum? withSetOff = null, double floorDbfs = -80)
    {
        ArgumentNullException.ThrowIfNull(hum);
        if (double.IsNaN(floorDbfs)) throw new ArgumentOutOfRangeException(nameof(floorDbfs), floorDbfs, "A floor is a number of dBFS.");
        var warnings = withSetOff is null ? ImmutableArray.Create("no null run: the lead itself may have brought some of it") : [];
        if (!hum.Lines.Any(l => l.Found) || hum.RmsDbfs < floorDbfs)
        {
            var most = Math.Max(hum.RmsDbfs, Decibels.Of(hum.HiddenRms));
            return new(HumKind.None, 0, 0, floorDbfs - most, most < floorDbfs
                ? FormattableString.Invariant($"No hum above {floorDbfs:0} dBFS.")
                : FormattableString.Invariant($"No hum stands out; the noise would hide hum below {most:0.#} dBFS."), warnings);
        }
        var off = withSetOff is { } n ? hum.Lines.Select(l => n.Lines.FirstOrDefault(m => m.Order == l.Order)?.Peak ?? 0).ToArray() : new double[hum.Lines.Length];
        var offRms = Math.Sqrt(off.Sum(p => p * p) / 2);
        var over = Decibels.Of(hum.Rms) - Decibels.Of(offRms);
        if (offRms > 0 && over < 6)
            return new(HumKind.Lead, 0, 0, over - 6, FormattableString.Invariant($"That was the lead: with the set off it hums {(over < 0.1 ? "as loud as this" : FormattableString.Invariant($"only {over:0.#} dB less than this"))}. Cure the lead, then listen again."), warnings);
        var (stand, uncertainty) = StandOut(hum, off);
        var kind = stand > Border ? HumKind.Ripple : stand < -Border ? HumKind.PickUp : HumKind.HalfMissing;
        var margin = Math.Abs(Math.Abs(stand) - Border) - uncertainty;
        if (margin < 0)
            return new(HumKind.Unclear, stand, uncertainty, margin, $"Two stories fit: {(stand > 0 ? "ripple of a dry reservoir" : "pick-up or a leak")}, or a rectifier half missing. Record longer, quieter or nearer the supply.", warnings);
        var first = hum.Lines[0].Peak;
        if (kind == HumKind.Ripple && first > 0.3 * hum.EvenRms * Math.Sqrt(2))
            warnings = warnings.Add(FormattableString.Invariant($"beside the ripple there is line-frequency hum at {hum.Lines[0].RmsDbfs:0.#} dBFS: pick-up, or halves that differ"));
        if (kind == HumKind.HalfMissing) warnings = warnings.Add("a set with a half-wave supply by design hums like this too");
        return new(kind, stand, uncertainty, margin, kind switch
        {
            HumKind.Ripple => FormattableString.Invariant($"Twice the line ({2 * hum.LineHertz:0.0} Hz) and its harmonics: ripple, as of a dry reservoir."),
            HumKind.PickUp => FormattableString.Invariant($"The line's own {hum.LineHertz:0.0} Hz, odd harmonics with it and hardly an even one: pick-up, or a leak."),
            _ => FormattableString.Invariant($"The line's own {hum.LineHertz:0.0} Hz with all its harmonics where twice the line was expected: a rectifier half is missing."),
        }, warnings);
    }

    private static (double Db, double Uncertainty) StandOut(Hum hum, double[] off)
    {
        var lines = hum.Lines;
        // Level and two standard deviations of each, the lead's share as a worst case: it may add or take away.
        var level = new double[lines.Length];
        var loose = new double[lines.Length];
        for (var i = 0; i < lines.Length; i++)
        {
            var net = Math.Sqrt(Math.Max(0, lines[i].Peak * lines[i].Peak - off[i] * off[i]));
            var least = Math.Max(lines[i].Hidden, off[i]);
            var known = lines[i].Found && net > least;
            level[i] = Decibels.Of(known ? net : least);
            loose[i] = known ? lines[i].UncertaintyDb + 8.686 * off[i] / net : 6;
        }
        // A line beside one that is found and one that is hidden may just as well stand on a falling slope: such places speak only
        // when there are no others.
        bool Slope(int i) => (lines[i].Found && lines[i - 1].Found && !lines[i + 1].Found) || (!lines[i].Found && lines[i - 1].Found != lines[i + 1].Found);
        var places = Enumerable.Range(1, Math.Max(0, lines.Length - 2)).Where(i => lines[i - 1].Found || lines[i].Found || lines[i + 1].Found).ToList();
        if (places.Any(i => !Slope(i))) places.RemoveAll(Slope);
        double sum = 0, weights = 0, errors = 0;
        foreach (var i in places)
        {
            var weight = Decibels.Ratio(Math.Max(level[i], Math.Max(level[i - 1], level[i + 1])));
            var bend = level[i] - (level[i - 1] + level[i + 1]) / 2;
            sum += weight * Math.Clamp(i % 2 == 1 ? bend : -bend, -30, 30);
            weights += weight;
            errors += weight * weight * (loose[i] * loose[i] + (loose[i - 1] * loose[i - 1] + loose[i + 1] * loose[i + 1]) / 4);
        }
        // One decibel for responses that are not quite smooth (common practice, no source).
        return weights > 0 ? (sum / weights, Math.Sqrt(1 + errors / (weights * weights))) : (0, double.PositiveInfinity);
    }
}
