using System.Collections.Immutable;

namespace Bellwire.Circuits.Solving;

/// <summary>The operating point: Newton, then gmin stepping, then source stepping (Nagel 1975, chapter 4; Kundert 1995, chapter 2).</summary>
internal static class DirectSolver
{
    private const double Relative = 1e-7, Absolute = 1e-9;

    public static Outcome<OperatingPoint> Solve(Netlist netlist)
    {
        var equations = new Equations(new Assembly(netlist));
        var (how, failure) = Settle(equations, At(null));
        if (failure is not null) return failure;
        var (x, amperes) = ((double[])equations.X.Clone(), new double[equations.Assembly.Branches.Length]);
        for (var k = 0; k < amperes.Length; k++) amperes[k] = equations.Current(k);
        return new OperatingPoint(netlist, new(equations.Assembly, x, amperes), x, how!);
    }

    /// <summary>What the sources give: asleep (null) or frozen at an instant.</summary>
    public static Func<Waveform, double> At(double? seconds) => seconds is { } t ? w => w.At(t) : w => w.Direct;

    /// <summary>Solves for the sources as told, capacitors open and coils closed; leaves the answer in the workspace.</summary>
    public static (HowGot? How, NotConverged? Failure) Settle(Equations e, Func<Waveform, double> value)
    {
        var tried = ImmutableArray.CreateBuilder<string>();
        var iterations = 0;

        bool Run(double gmin, double share, int most)
        {
            Companions(e, value, share);
            e.StampMatrix(gmin);
            e.StampRight();
            var n = e.Newton(most, Relative, Absolute);
            iterations += n < 0 ? most : n;
            return n >= 0;
        }

        HowGot Got() => new(tried[^1], iterations, e.Residual().Amperes, tried.ToImmutable());

        tried.Add("Newton");
        Restart(e);
        if (Run(0, 1, 150)) return (Got(), null);

        tried.Add("gmin stepping");
        Restart(e);
        if (Ramp(e, share => Run(Math.Pow(10, -2 - 11 * share), 1, 60)) && Run(0, 1, 150)) return (Got(), null);

        tried.Add("source stepping");
        Restart(e);
        if (Ramp(e, share => Run(0, share, 60))) return (Got(), null);

        tried.Add("source stepping with gmin");
        Restart(e);
        if (Ramp(e, share => Run(1e-6, share, 60)) && Ramp(e, share => Run(Math.Pow(10, -6 - 6 * share), 1, 60)) && Run(0, 1, 150)) return (Got(), null);

        var (amperes, at) = e.Residual();
        var worst = e.Worst >= 0 ? e.Worst : at;
        return (null, new(worst >= 0 ? e.Assembly.Names[worst] : Netlist.Ground, amperes, tried.ToImmutable()));
    }

    /// <summary>From 0 to 1 in steps that halve on failure and grow on success; the last good answer is the next start.</summary>
    private static bool Ramp(Equations e, Func<double, bool> run)
    {
        if (!run(0)) return false;
        var (share, step) = (0.0, 0.1);
        var good = (double[])e.X.Clone();
        while (share < 1)
        {
            if (step < 1e-4) return false;
            var next = Math.Min(1, share + step);
            if (run(next))
            {
                (share, step) = (next, step * 1.7);
                e.X.CopyTo(good, 0);
            }
            else
            {
                step /= 4;
                good.CopyTo(e.X, 0);
            }
        }
        return true;
    }

    private static void Restart(Equations e)
    {
        Array.Clear(e.X);
        e.Forget();
    }

    private static void Companions(Equations e, Func<Waveform, double> value, double share)
    {
        for (var k = 0; k < e.G.Length; k++)
        {
            var b = e.Assembly.Branches[k];
            var source = b.Source is { } w ? share * value(w) : 0;
            (e.G[k], e.J[k]) = b.Kind switch
            {
                BranchKind.Resistive => (1 / b.Ohms, -source / b.Ohms),
                BranchKind.Inductive => (1 / b.Ohms, 0),
                BranchKind.Capacitive => (0, 0),
                _ => (0.0, source), // ideal: its volts; injected: its amperes
            };
        }
    }
}
