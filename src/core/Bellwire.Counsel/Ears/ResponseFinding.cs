using System.Collections.Immutable;
using Bellwire.Sheets;
using Bellwire.Signals;

namespace Bellwire.Counsel.Ears;

/// <summary>Limits of a free measurement, as typed.</summary>
/// <param name="Low">Lowest and <paramref name="High"/> highest that is right, in the measure's unit; null where there is none.</param>
/// <param name="Response">Limits of a response; empty for a number.</param>
public sealed record EarLimits(double? Low, double? High, ImmutableArray<ResponseLimit> Response);

/// <summary>A response held against its limits.</summary>
/// <param name="Verdict">within, bass-down, treble-down or outside.</param>
/// <param name="MarginDb">Distance to the nearest limit where it is nearest, dB; below 0 outside.</param>
/// <param name="Hertz">Where that is, and <paramref name="Db"/> what the response is there re 1 kHz.</param>
public sealed record ResponseFinding(string Verdict, double MarginDb, double Hertz, double Db)
{
    /// <summary>The level all is related to; 1 kHz, or the middle of the limits where 1 kHz is outside them.</summary>
    public static double ReferenceHertz(ImmutableArray<ResponseLimit> limits) =>
        limits.Any(l => l.LowHertz <= 1000 && l.HighHertz >= 1000) ? 1000 : Math.Sqrt(limits.Min(l => l.LowHertz) * limits.Max(l => l.HighHertz));

    /// <summary>Null, with the reason, where the limits reach beyond what was measured.</summary>
    public static (ResponseFinding? Found, string Why) Of(Response response, ImmutableArray<ResponseLimit> limits)
    {
        if (limits.IsDefaultOrEmpty) throw new ArgumentException("There is no limit to hold it against.", nameof(limits));
        var (low, high) = (limits.Min(l => l.LowHertz), limits.Max(l => l.HighHertz));
        if (response.Points.IsEmpty || response.Points[0].Hertz > low || response.Points[^1].Hertz < high)
            return (null, FormattableString.Invariant($"measured from {response.Points.FirstOrDefault()?.Hertz:0} to {response.Points.LastOrDefault()?.Hertz:0} Hz; the limits ask for {low:0} to {high:0} Hz"));
        var middle = ReferenceHertz(limits);
        var level = response.At(middle);
        ResponseFinding? worst = null;
        var (bass, treble, other) = (false, false, false);
        foreach (var limit in limits)
            foreach (var hertz in response.Points.Select(p => p.Hertz).Where(h => h > limit.LowHertz && h < limit.HighHertz).Append(limit.LowHertz).Append(limit.HighHertz))
            {
                var db = response.At(hertz) - level;
                var margin = Math.Min(db - limit.LowDb, limit.HighDb - db);
                if (worst is null || margin < worst.MarginDb) worst = new("", margin, hertz, db);
                if (margin >= 0) continue;
                if (db > limit.HighDb) other = true;
                else if (hertz < middle) bass = true;
                else treble = true;
            }
        return (worst! with { Verdict = worst.MarginDb >= 0 ? "within" : (bass, treble, other) switch { (true, false, false) => "bass-down", (false, true, false) => "treble-down", _ => "outside" } }, "");
    }
}
