using System.Collections.Immutable;

namespace Bellwire.Circuits;

/// <summary>One fault over all draws: the undrawn circuit first, then each draw from there.</summary>
internal static class RowSolver
{
    /// <param name="shifts">How the states of each draw differed from the undrawn healthy circuit: draws are common, so a fault's differ much alike.</param>

    public static FaultRow Solve(Netlist healthy, ImmutableArray<TestPoint> points, ImmutableArray<Fault> faults, TableOptions options, double[][]? shifts, CancellationToken cancel)
    {
        var circuit = healthy.Faulted(faults);
        if (options.Unpowered || !circuit.Alternates) return StillSolver.Solve(circuit, points, faults, options, cancel);
        var nominal = SteadyState.Solve(circuit, options.Steady);
        var quick = options.Steady with { Quick = true, Near = nominal.Value };
        var shifted = new double[options.Draws][];
        var values = points.Select(_ => Enumerable.Range(0, FaultRow.Quantities).Select(_ => new List<double>(options.Draws)).ToArray()).ToArray();
        Meter? meter = null;
        var (failure, unsolved) = ((NotConverged?)null, 0);
        for (var draw = 0; draw < options.Draws; draw++)
        {
            cancel.ThrowIfCancellationRequested();
            var drawn = circuit.Drawn(options.Seed, draw);
            var answer = SteadyState.Solve(drawn, quick with { Shift = shifts?[draw] });
            if (answer.Value is null && quick.Near is not null) answer = SteadyState.Solve(drawn, options.Steady);
            if (answer.Value is not { } s)
            {
                failure ??= answer.Failure;
                unsolved++;
                continue;
            }
            if (nominal.Value is { } undrawn && undrawn.States.Length == s.States.Length) shifted[draw] = [.. s.States.Zip(undrawn.States, (a, b) => a - b)];
            var line = (int)Math.Round(options.LineHertz * s.PeriodSeconds);
            if (meter is null || !meter.Fits(s)) meter = new(s, line);
            for (var p = 0; p < points.Length; p++)
            {
                var (direct, ripple, alternating, component) = meter.Read(s.Record, s.Record.Assembly.IndexOf(points[p].Node), s.Record.Assembly.IndexOf(points[p].Against));
                values[p][(int)Quantity.Direct].Add(direct);
                values[p][(int)Quantity.Ripple].Add(ripple);
                values[p][(int)Quantity.Alternating].Add(alternating);
                values[p][(int)Quantity.LineComponent].Add(component);
                values[p][(int)Quantity.Ohms].Add(0);
            }
        }
        return new(faults, [.. values.Select(v => v.Select(l => l.ToArray()).ToImmutableArray())], failure, unsolved) { Shifts = shifted };
    }
}
