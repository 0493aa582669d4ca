using System.Collections.Immutable;
using Bellwire.Sheets;
using Bellwire.Workshop;

namespace Bellwire.Counsel;

/// <summary>One rung: a test point with what it read first and last in the owner's set.</summary>
/// <param name="AsReceived">The first reading there, in the point's unit; null when none was taken.</param>
/// <param name="Now">The last reading since the last mend or change of hook-up; null when there is none.</param>
/// <param name="Word">within, low, high, read (no limits are known), not read, or read again (what was read is from before a change).</param>
public sealed record Rung(PointSpec Point, double? AsReceived, double? Now, string Word);

/// <summary>The rails in the order they are read, one probe and one go.</summary>
public static class RailLadder
{
    /// <exception cref="ArgumentException">There is no such job.</exception>
    public static ImmutableArray<Rung> Of(ShopState state, string job, TypeSheet sheet)
    {
        ArgumentNullException.ThrowIfNull(state);
        ArgumentNullException.ThrowIfNull(sheet);
        if (!state.Jobs.TryGetValue(job, out var known)) throw new ArgumentException($"There is no job {job}.", nameof(job));
        var positive = Ground.IsPositive(state, job);
        var first = new Dictionary<string, double>();
        var now = new Dictionary<string, double>();
        foreach (var act in state.TapeOf(job).Select(e => e.Act))
            switch (act)
            {
                case ReadingTaken r when r.System == known.System && Same(sheet, r):
                    first.TryAdd(r.Point, r.Value);
                    now[r.Point] = r.Value;
                    break;
                case Fitted f when f.System == known.System: now.Clear(); break;
                case Pulled p when p.System == known.System: now.Clear(); break;
                case HookUpRepaired h when h.System == known.System: now.Clear(); break;
                case Mended: now.Clear(); break;
            }
        return [.. sheet.Points.Where(p => p.Ladder > 0).OrderBy(p => p.Ladder).Select(p =>
        {
            double? received = first.TryGetValue(p.Id, out var f) ? f : null, last = now.TryGetValue(p.Id, out var n) ? n : null;
            return new Rung(p, received, last, last is { } v ? Word(p, Ground.AsWritten(positive, p.Quantity, v)) : received is null ? "not read" : "read again");
        })];
    }

    /// <summary>Hertz or ohms at a point that is read in volts stand on no rung.</summary>
    private static bool Same(TypeSheet sheet, ReadingTaken r) =>
        sheet.Points.FirstOrDefault(p => p.Id == r.Point) is not { } point || Quantities.TypedReading.AreAlike(point.Quantity, r.Quantity);

    /// <summary>A reading against its limits, both ends included: within, low or high; read when the point has no limits.</summary>
    public static string Word(PointSpec point, double value)
    {
        ArgumentNullException.ThrowIfNull(point);
        if (double.IsNaN(value)) throw new ArgumentOutOfRangeException(nameof(value), value, "A reading is a number.");
        if (point.Low is null && point.High is null) return "read";
        return value < point.Low ? "low" : value > point.High ? "high" : "within";
    }
}
