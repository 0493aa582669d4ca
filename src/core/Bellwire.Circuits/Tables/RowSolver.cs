using System.Collections.Immutable;

namespace Bellwire.Circuits;

/// <summary>One fault over all draws: the undrawn circuit first, then each draw from there.</summary>
internal static class RowSolver
{
    private const int Quantities = 4;

    public static FaultRow Solve(Netlist healthy, ImmutableArray<TestPoint> points, ImmutableArray<Fault> faults, TableOptions options, CancellationToken cancel)
    {
        var circuit = healthy.Faulted(faults);
        var nominal = SteadyState.Solve(circuit, options.Steady);
        var near = options.Steady with { Near = nominal.Value };
        var values = points.Select(_ => Enumerable.Range(0, Quantities).Select(_ => new List<double>(options.Draws)).ToArray()).ToArray();
        var (failure, unsolved) = ((NotConverged?)null, 0);
        for (var draw = 0; draw < options.Draws; draw++)
        {
            cancel.ThrowIfCancellationRequested();
            var drawn = circuit.Drawn(options.Seed, draw);
            var answer = SteadyState.Solve(drawn, near);
            if (answer.Value is null && near.Near is not null) answer = SteadyState.Solve(drawn, options.Steady);
            if (answer.Value is not { } s)
            {
                failure ??= answer.Failure;
                unsolved++;
                continue;
            }
            var line = (int)Math.Round(options.LineHertz * s.PeriodSeconds);
            for (var p = 0; p < points.Length; p++)
            {
                var wave = s.Volts(points[p].Node, points[p].Against);
                values[p][(int)Quantity.Direct].Add(wave.Mean);
                values[p][(int)Quantity.Ripple].Add(wave.PeakToPeak);
                values[p][(int)Quantity.Alternating].Add(wave.AcRms);
                values[p][(int)Quantity.LineComponent].Add(line >= 1 ? wave.Harmonic(line) : 0);
            }
        }
        return new(faults, [.. values.Select(v => v.Select(l => l.ToArray()).ToImmutableArray())], failure, unsolved);
    }
}
