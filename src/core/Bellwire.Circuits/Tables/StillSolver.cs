using System.Collections.Immutable;

namespace Bellwire.Circuits;

/// <summary>Rows of a circuit in which nothing alternates: operating points, and what an ohmmeter says with the power away.</summary>
internal static class StillSolver
{
    public static FaultRow Solve(Netlist circuit, ImmutableArray<TestPoint> points, ImmutableArray<Fault> faults, TableOptions options, CancellationToken cancel)
    {
        var values = points.Select(_ => Enumerable.Range(0, FaultRow.Quantities).Select(_ => new List<double>(options.Draws)).ToArray()).ToArray();
        var (failure, unsolved) = ((NotConverged?)null, 0);
        for (var draw = 0; draw < options.Draws; draw++)
        {
            cancel.ThrowIfCancellationRequested();
            var drawn = circuit.Drawn(options.Seed, draw);
            var (read, why) = options.Unpowered ? Ohms(drawn, points) : Volts(drawn, points);
            if (read is null)
            {
                failure ??= why;
                unsolved++;
                continue;
            }
            for (var p = 0; p < points.Length; p++)
            {
                foreach (var list in values[p]) list.Add(0);
                values[p][(int)(options.Unpowered ? Quantity.Ohms : Quantity.Direct)][^1] = read[p];
            }
        }
        return new(faults, [.. values.Select(v => v.Select(l => l.ToArray()).ToImmutableArray())], failure, unsolved) { Shifts = new double[options.Draws][] };
    }

    private static (double[]? Read, NotConverged? Why) Volts(Netlist drawn, ImmutableArray<TestPoint> points)
    {
        var solved = OperatingPoint.Solve(drawn);
        return solved.Value is { } op ? ([.. points.Select(p => op.Volts(p.Node, p.Against))], null) : (null, solved.Failure);
    }

    private static (double[]? Read, NotConverged? Why) Ohms(Netlist drawn, ImmutableArray<TestPoint> points)
    {
        var (read, asleep) = (new double[points.Length], Ohmmeter.Asleep(drawn));
        for (var p = 0; p < points.Length; p++)
        {
            if (points[p].Node == points[p].Against) continue;
            var ohms = Ohmmeter.ReadAsleep(asleep, points[p].Node, points[p].Against);
            if (ohms.Failure is { } why) return (null, why);
            // What the display cannot show stands at its end, so that means and spreads exist.
            read[p] = Math.Min(ohms.Required.Ohms, Ohmmeter.MostOhms);
        }
        return (read, null);
    }
}
