namespace Bellwire.Circuits.Solving;

/// <summary>Goes from one instant to another in steps that keep the estimated error of every state within its tolerance.</summary>
internal sealed class Adaptive(Stepper stepper, double relative, double longest)
{
    private readonly double[] _scale = new double[stepper.States];

    /// <summary>Absolute floors of the error: volts of a capacitor, amperes of a coil.</summary>
    private const double FloorVolts = 1e-3, FloorAmperes = 1e-4;

    /// <summary>The instant and unknown where it gave up.</summary>
    public (double Seconds, int Unknown) Stuck { get; private set; }

    public double[] Scale => _scale;
    public CancellationToken Cancel { get; init; }

    /// <summary>The step lengths taken, in order.</summary>
    public List<double> Mesh { get; } = [];

    /// <param name="corners">Instants a step must end on, in order.</param>
    public bool Go(double from, double to, Recording? into, IReadOnlyList<double> corners)
    {
        var tiny = 1e-7 * (to - from);
        Mesh.Clear();
        if (!stepper.Begin(from, tiny)) return Fail(from);
        into?.Start(from, stepper);
        var (t, h, corner) = (from, longest / 16, 0);
        while (to - t > tiny / 10)
        {
            Cancel.ThrowIfCancellationRequested();
            while (corner < corners.Count && corners[corner] - t <= tiny / 10) corner++;
            var end = corner < corners.Count ? Math.Min(corners[corner], to) : to;
            var left = end - t;
            h = Math.Min(h, longest);
            // Never leave a sliver before an end.
            var step = left <= h * 1.0001 ? left : left < 2 * h ? left / 2 : h;
            if (!stepper.Step(t, step))
            {
                h = step / 4;
                if (h < tiny / 10) return Fail(t);
                continue;
            }
            var error = Worst(step);
            if (error > 1 && step > tiny)
            {
                stepper.Undo();
                h = step * Math.Max(0.2, 0.85 * Math.Pow(error, -1.0 / 3));
                continue;
            }
            into?.Step(t, step, stepper);
            Mesh.Add(step);
            t = step == left ? end : t + step;
            h = step * Math.Clamp(0.85 * Math.Pow(Math.Max(error, 1e-6), -1.0 / 3), 0.2, 2.5);
            if (t == end && t < to)
            {
                if (!stepper.Begin(t, tiny)) return Fail(t); // slopes jump at a corner
                h = Math.Min(h, longest / 64);
            }
        }
        return true;
    }

    /// <summary>The largest error of a step of the last <see cref="Again"/> against its tolerance.</summary>
    public double Roughest { get; private set; }

    /// <summary>The same steps once more, with the unknowns of an earlier pass as guesses where there is one.</summary>
    public bool Again(double from, IReadOnlyList<double> mesh, Recording? guesses, Recording? into)
    {
        if (guesses is not null) stepper.Equations.Expect(guesses.Unknowns(0));
        if (!stepper.Begin(from, 1e-7 * mesh.Sum())) return Fail(from);
        into?.Start(from, stepper);
        var t = from;
        Roughest = 0;
        for (var k = 0; k < mesh.Count; k++)
        {
            if (!stepper.Step(t, mesh[k], guesses?.Unknowns(2 * k + 1), guesses?.Unknowns(2 * k + 2))) return Fail(t);
            Roughest = Math.Max(Roughest, Worst(mesh[k]));
            into?.Step(t, mesh[k], stepper);
            t += mesh[k];
        }
        return true;
    }

    /// <summary>The largest error of the last step against its tolerance.</summary>
    public double Worst(double h)
    {
        var worst = 0.0;
        for (var k = 0; k < _scale.Length; k++)
        {
            _scale[k] = Math.Max(_scale[k], Math.Abs(stepper.S[k]));
            var floor = stepper.IsCapacitor(k) ? FloorVolts : FloorAmperes;
            worst = Math.Max(worst, Math.Abs(stepper.Error(k, h)) / (relative * (_scale[k] + floor)));
        }
        return worst;
    }

    private bool Fail(double t)
    {
        Stuck = (t, stepper.Equations.Worst);
        return false;
    }
}
