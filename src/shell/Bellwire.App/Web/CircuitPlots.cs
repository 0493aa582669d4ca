using System.Collections.Immutable;
using Bellwire.Circuits;
using Bellwire.Counsel;
using Bellwire.Papers;
using Bellwire.Sheets;

namespace Bellwire.App.Web;

/// <summary>Plots of a circuit: waves, what ripple is made of, readings on the ladder.</summary>
internal static class CircuitPlots
{
    private const int Periods = 3, Orders = 12;

    /// <summary>Three periods at a point, healthy and with a row's faults; null when the circuit finds no solution.</summary>
    public static Plot? Wave(CircuitSpec circuit, CircuitPoint at, ImmutableArray<Fault> faults, string words)
    {
        var waves = Waves(circuit, at, faults);
        if (waves.Count == 0) return null;
        var lines = waves.Select((w, i) => new PlotLine(i == 0 ? "healthy" : words,
            [.. Enumerable.Range(0, 600).Select(k => (k * Periods * w.Seconds / 600 * 1000, w.At(k * Periods % 600 * w.Seconds / 600)))], i == 1)).ToImmutableArray();
        var (low, high) = Span(lines.SelectMany(l => l.Points.Select(p => p.Y)));
        return new($"Wave at {at.Point}", new("ms", 0, Periods * waves[0].Seconds * 1000), new("V", low, high), lines, []);
    }

    /// <summary>Peak of each order of the line at a point.</summary>
    public static Plot? Made(CircuitSpec circuit, CircuitPoint at, ImmutableArray<Fault> faults, string words)
    {
        var waves = Waves(circuit, at, faults);
        if (waves.Count == 0) return null;
        var lines = waves.Select((w, i) => new PlotLine(i == 0 ? "healthy" : words, [.. Enumerable.Range(1, Orders).SelectMany(n =>
        {
            var (hertz, peak) = (n / w.Seconds, w.Harmonic(n));
            var x = hertz + i * 4;
            return new[] { (x - 2, 0.0), (x, 0.0), (x, peak), (x + 2, 0.0) };
        })], i == 1)).ToImmutableArray();
        var (_, high) = Span(lines.SelectMany(l => l.Points.Select(p => p.Y)));
        return new($"What the alternation at {at.Point} is made of", new("Hz", 0, (Orders + 1) / waves[0].Seconds), new("V, peak", 0, high), lines, []);
    }

    /// <summary>Readings on the ladder, in hundredths of the good span: 0 is its lower limit, 100 its upper.</summary>
    public static Plot Ladder(IReadOnlyList<Rung> rungs)
    {
        var with = rungs.Where(r => r.Point.Low is not null && r.Point.High > r.Point.Low).ToList();
        double At(Rung r, double v) => Math.Clamp(100 * (v - r.Point.Low!.Value) / (r.Point.High!.Value - r.Point.Low!.Value), -98, 198);
        var marks = with.SelectMany((r, i) => new[] { (r.AsReceived, "came "), (r.Now == r.AsReceived ? null : r.Now, "now ") }
            .Where(x => x.Item1 is not null).Select(x => new PlotMark(i + 1, At(r, x.Item1!.Value), $"{r.Point.Id}: {x.Item2}{Bellwire.Quantities.Engineering.Say(x.Item1!.Value, r.Point.Quantity == "ampere" ? "A" : "V")}"))).ToImmutableArray();
        return new("Rails against the span of a good set", new("rung", 0, with.Count + 1), new("of the span, %", -100, 200),
            [new("lower limit", [(0, 0), (with.Count + 1, 0)]), new("upper limit", [(0, 100), (with.Count + 1, 100)], true)], marks);
    }

    private static List<Wave> Waves(CircuitSpec circuit, CircuitPoint at, ImmutableArray<Fault> faults) =>
        [.. new[] { circuit.Netlist, circuit.Netlist.Faulted(faults) }.Take(faults.IsEmpty ? 1 : 2).Select(n => SteadyState.Solve(n).Value).OfType<SteadyState>().Select(s => s.Volts(at.Node, at.Against))];

    private static (double Low, double High) Span(IEnumerable<double> values)
    {
        var (low, high) = (values.Min(), values.Max());
        var room = Math.Max(0.1, 0.1 * (high - low));
        return (low >= 0 ? Math.Max(0, low - room) : low - room, high + room);
    }
}
