using System.Collections.Immutable;

namespace Bellwire.Circuits.Solving;

/// <summary>
/// The steady state by shooting (Aprille &amp; Trick 1972; Kundert, White &amp; Sangiovanni-Vincentelli 1990): Newton's method
/// on the map from the states at the start of a period to those at its end, so slow settling costs nothing. The steps are
/// chosen anew until the start stands to a few per mille, then frozen, so that the map is smooth.
/// </summary>
internal sealed class PeriodicSolver
{
    private const int MostPasses = 60;
    private readonly Netlist _netlist;
    private readonly SteadyOptions _options;
    private readonly Assembly _assembly;
    private readonly Stepper _stepper;
    private readonly Sensitivity _watch;
    private readonly Adaptive _time;
    private readonly ImmutableArray<string>.Builder _tried = ImmutableArray.CreateBuilder<string>();
    private readonly double _period;

    private PeriodicSolver(Netlist netlist, SteadyOptions options)
    {
        (_netlist, _options) = (netlist, options);
        _assembly = new(netlist);
        var (common, fastest) = Period.Of(_assembly, options.IdleSeconds);
        _period = common;
        _stepper = new(_assembly) { KeepAmperes = !options.Quick };
        _watch = new(_stepper.States, _assembly.Count);
        _time = new(_stepper, options.Tolerance, fastest / options.StepsPerPeriod);
    }

    public static Outcome<SteadyState> Solve(Netlist netlist, SteadyOptions options) => new PeriodicSolver(netlist, options).Run();

    private Outcome<SteadyState> Run()
    {
        var m = _stepper.States;
        if (_options.Near is { } like && FromLike(like) is { } soon) return soon;
        var start = new double[m];
        if (_options.Near is { } near && near.States is { } known && known.Length == m)
        {
            known.CopyTo(start, 0);
            if (_options.Shift is { } shift && shift.Length == m) for (var k = 0; k < m; k++) start[k] += shift[k];
        }
        else if (!Approach(start)) return Failed(double.NaN);

        _tried.Add("shooting");
        var (before, size) = (double.PositiveInfinity, double.PositiveInfinity);
        var previous = new double[m];
        var step = new double[m];
        List<double>? mesh = null;
        var stuck = 0;
        for (var pass = 1; pass <= MostPasses; pass++)
        {
            var record = new Recording(_assembly, amperes: !_options.Quick);
            if (!Pass(start, mesh, record))
            {
                // Stuck at a corner: come from elsewhere, with other steps.
                if (++stuck > 3) return Failed(size);
                _tried.Add("settling");
                _stepper.Equations.Forget();
                Array.Clear(_stepper.Equations.X);
                if (!Coast(start, stuck)) Array.Clear(start);
                _tried.Add("shooting");
                (before, mesh) = (double.PositiveInfinity, null);
                continue;
            }

            var mismatch = Mismatch(start);
            if (mismatch > (pass > 8 ? 1 : 4) * before && mismatch > 1e-2 && pass > 1)
            {
                // The Newton step went too far: half of it. Late in the search nothing worse than before is taken, or it could go round in a ring.
                for (var k = 0; k < m; k++) start[k] = previous[k] + (step[k] *= 0.5);
                if (step.Max(Math.Abs) > 1e-9) continue;
            }
            before = mismatch;
            start.CopyTo(previous, 0);
            size = Correction(start, step);
            // A state that needs a quarter of an hour to move (a microfarad behind a gigohm) magnifies rounding: there it counts that the period closes.
            if (pass >= 12 && mismatch <= 1e-6) size = Math.Min(size, mismatch);
            if (_options.Quick ? size <= 2e-4 : size <= (pass < 12 ? 1e-5 : 2e-4) && (mesh is not null || size <= 1e-7))
                return new SteadyState(_netlist, _assembly, record, start, _period, [.. _time.Mesh], Monodromy(), new(_tried[^1], _stepper.Iterations, size, _tried.ToImmutable()));
            for (var k = 0; k < m; k++) start[k] += step[k];
            mesh = size < 5e-3 ? mesh ?? [.. _time.Mesh] : null;
            if (pass is 15 or 30)
            {
                // Wandering: let it run for a while and try again from there.
                _tried.Add("settling");
                if (!Coast(start, pass)) return Failed(size);
                _tried.Add("shooting");
                before = double.PositiveInfinity;
            }
        }
        return Failed(size);
    }

    /// <summary>
    /// The same steps as a like circuit took, its unknowns as guesses and its monodromy in place of our own to begin with (Broyden's method):
    /// two or three plain passes. Null when the circuits are not alike enough; then everything is done in full.
    /// </summary>
    private SteadyState? FromLike(SteadyState like)
    {
        var m = _stepper.States;
        if (like.States.Length != m || like.Mesh.IsEmpty || like.Record.Assembly.Count != _assembly.Count || Math.Abs(like.PeriodSeconds - _period) > 1e-12) return null;
        var chord = Remaining(like.Monodromy);
        if (chord.Factor() >= 0) return null;
        var broyden = new Broyden(chord, m);
        var miss = new double[m];
        var exact = _stepper.Newton;
        if (_options.Quick) _stepper.Newton = (1e-4, 1e-4);
        var start = (double[])like.States.Clone();
        if (_options.Shift is { } shift && shift.Length == m) for (var k = 0; k < m; k++) start[k] += shift[k];
        var step = new double[m];
        var guesses = like.Record;
        var (enough, before) = (_options.Quick ? 2e-4 : 1e-5, double.PositiveInfinity);
        for (var pass = 1; pass <= 8; pass++)
        {
            start.CopyTo(_stepper.S, 0);
            _stepper.Watch = null;
            var record = new Recording(_assembly, amperes: !_options.Quick);
            if (!_time.Again(0, like.Mesh, guesses, record)) break;
            for (var k = 0; k < m; k++) miss[k] = start[k] - _stepper.S[k];
            broyden.Next(miss, step);
            var size = 0.0;
            for (var k = 0; k < m; k++) size = Math.Max(size, Math.Abs(step[k]) / Scale(k));
            if (size <= enough && _time.Roughest < (_options.Quick ? 100 : 30))
                return new(_netlist, _assembly, record, start, _period, like.Mesh, like.Monodromy, new("shooting from a like circuit", _stepper.Iterations, size, ["shooting from a like circuit"]));
            if (!(size < 0.9 * before) && pass > 3) break;
            before = size;
            for (var k = 0; k < m; k++) start[k] += step[k];
            guesses = record;
        }
        _stepper.Newton = exact;
        _stepper.Equations.Forget();
        return null;
    }

    /// <summary>I − Φ, not yet factored.</summary>
    private static RealLu Remaining(double[] monodromy)
    {
        var m = (int)Math.Sqrt(monodromy.Length);
        var lu = new RealLu(m);
        for (var r = 0; r < m; r++)
            for (var c = 0; c < m; c++) lu.Matrix[r * lu.Stride + c] = (r == c ? 1 : 0) - monodromy[c * m + r];
        return lu;
    }

    /// <summary>From the operating point with all alternation asleep (from rest where there is none), three periods with coarse steps.</summary>
    private bool Approach(double[] start)
    {
        _tried.Add("settling");
        var (how, _) = DirectSolver.Settle(_stepper.Equations, DirectSolver.At(null));
        if (how is not null) _stepper.Adopt(start);
        _stepper.Restart();
        return Coast(start, 3);
    }

    private bool Coast(double[] start, int periods)
    {
        _stepper.Watch = null;
        start.CopyTo(_stepper.S, 0);
        var rough = new Adaptive(_stepper, Math.Max(1e-3, _options.Tolerance), _period / 20);
        for (var k = 0; k < periods; k++) if (!rough.Go(k * _period, (k + 1) * _period, null, [])) return false;
        _stepper.S.CopyTo(start, 0);
        return true;
    }

    private bool Pass(double[] start, List<double>? mesh, Recording record)
    {
        start.CopyTo(_stepper.S, 0);
        _stepper.Watch = _watch;
        return mesh is null ? _time.Go(0, _period, record, []) : _time.Again(0, mesh, null, record);
    }

    private double Scale(int k) => Math.Max(_time.Scale[k], Math.Abs(_stepper.S[k])) + (_stepper.IsCapacitor(k) ? 1e-3 : 1e-4);

    private double Mismatch(double[] start)
    {
        var worst = 0.0;
        for (var k = 0; k < start.Length; k++) worst = Math.Max(worst, Math.Abs(_stepper.S[k] - start[k]) / Scale(k));
        return worst;
    }

    /// <summary>Newton's step (I − Φ)·δ = S(T) − S(0); returns its size against the states.</summary>
    private double Correction(double[] start, double[] step)
    {
        var m = start.Length;
        if (m == 0) return 0;
        var lu = Remaining(_watch.State);
        for (var k = 0; k < m; k++) step[k] = _stepper.S[k] - start[k];
        if (lu.Factor() < 0) lu.Solve(step);
        var worst = 0.0;
        for (var k = 0; k < m; k++) worst = Math.Max(worst, Math.Abs(step[k]) / Scale(k));
        return worst;
    }

    private double[] Monodromy() => (double[])_watch.State.Clone();

    private NotConverged Failed(double size)
    {
        var (seconds, at) = _time.Stuck;
        return new(at >= 0 && at < _assembly.Count ? _assembly.Names[at] : "of the period", size, _tried.ToImmutable(), seconds);
    }
}
