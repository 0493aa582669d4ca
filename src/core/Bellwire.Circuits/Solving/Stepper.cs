namespace Bellwire.Circuits.Solving;

/// <summary>
/// One step in time by TR-BDF2: the trapezoidal rule to t + γh, then BDF2 to t + h with γ = 2 − √2, both with the same
/// matrix; second order, L-stable, with an estimate of the local error (Bank, Coughran, Fichtner, Grosse, Rose &amp; Smith
/// 1985; Hosea &amp; Shampine 1996). The states are capacitor volts and coil amperes; all else follows at each instant.
/// </summary>
internal sealed class Stepper
{
    public const double Gamma = 2 - 1.4142135623730951;
    private const double Half = Gamma / 2;
    private const double C1 = 1 / (Gamma * (2 - Gamma)), C2 = (1 - Gamma) * (1 - Gamma) / (Gamma * (2 - Gamma));
    private const double K = (-3 * Gamma * Gamma + 4 * Gamma - 2) / (12 * (2 - Gamma));

    private readonly Branch[] _branches;
    private readonly int[] _state, _sources;
    private readonly double[] _history, _middle, _middleSlope, _start, _startSlope, _impedance;
    private double _alpha = double.NaN;

    public Stepper(Assembly assembly)
    {
        Equations = new(assembly);
        _branches = assembly.Branches;
        _state = [.. Enumerable.Range(0, _branches.Length).Where(k => _branches[k].HasState)];
        _sources = [.. Enumerable.Range(0, _branches.Length).Where(k => _branches[k].Source is not null)];
        var m = _state.Length;
        (S, D, _history, _middle, _middleSlope, _start, _startSlope) = (new double[m], new double[m], new double[m], new double[m], new double[m], new double[m], new double[m]);
        (_impedance, Middle) = (new double[m], new double[assembly.Count + 1]);
        MiddleAmperes = new double[_branches.Length];
        Restart();
    }

    public Equations Equations { get; }

    /// <summary>States and their slopes at the present instant.</summary>
    public double[] S { get; }
    public double[] D { get; }

    /// <summary>The unknowns and branch currents at the middle point t + γh of the last step.</summary>
    public double[] Middle { get; }
    public double[] MiddleAmperes { get; }
    public int Iterations { get; private set; }
    public int States => _state.Length;
    public bool IsCapacitor(int state) => _branches[_state[state]].Kind == BranchKind.Capacitive;
    public string StateName(int state) => _branches[_state[state]].Device;

    /// <summary>Relative and absolute tolerance of Newton's method inside a step.</summary>
    public (double Relative, double Absolute) Newton { get; set; } = (2e-6, 1e-5);

    /// <summary>Told after each solved stage: how states and slopes answer to the history (sensitivities).</summary>
    public Sensitivity? Watch { get; set; }

    /// <summary>Reads the states off an operating point that was solved in the same workspace.</summary>
    public void Adopt(double[] states)
    {
        for (var k = 0; k < _state.Length; k++)
        {
            var b = _branches[_state[k]];
            states[k] = b.Kind == BranchKind.Capacitive ? b.Across(Equations.X) : b.Across(Equations.X) / b.Ohms;
        }
    }

    /// <summary>Makes the workspace ready for steps after another analysis used it.</summary>
    public void Restart()
    {
        _alpha = double.NaN;
        for (var k = 0; k < _branches.Length; k++)
            if (_branches[k].Kind == BranchKind.Resistive) (Equations.G[k], Equations.J[k]) = (1 / _branches[k].Ohms, 0);
    }

    /// <summary>Finds unknowns and slopes at an instant for the states in <see cref="S"/>, by a vanishing implicit step.</summary>
    public bool Begin(double t, double tiny)
    {
        S.CopyTo(_history, 0);
        S.CopyTo(_start, 0);
        if (!Stage(t + tiny, tiny, null)) return false;
        Watch?.AfterBegin(this, tiny);
        _start.CopyTo(S, 0);
        return true;
    }

    /// <summary>One step from t to t + h. On failure states and unknowns stand where they stood.</summary>
    /// <param name="middleGuess">Unknowns expected at the middle, if known from an earlier pass.</param>
    /// <param name="endGuess">The same at the end.</param>
    public bool Step(double t, double h, double[]? middleGuess = null, double[]? endGuess = null)
    {
        var alpha = Half * h;
        S.CopyTo(_start, 0);
        D.CopyTo(_startSlope, 0);
        for (var k = 0; k < S.Length; k++) _history[k] = S[k] + alpha * D[k];
        if (!Stage(t + Gamma * h, alpha, middleGuess)) return Undo();
        Watch?.AfterMiddle(this, alpha);
        Equations.X.CopyTo(Middle, 0);
        if (KeepAmperes) for (var k = 0; k < MiddleAmperes.Length; k++) MiddleAmperes[k] = Equations.Current(k);
        S.CopyTo(_middle, 0);
        D.CopyTo(_middleSlope, 0);
        for (var k = 0; k < S.Length; k++) _history[k] = C1 * S[k] - C2 * _start[k];
        if (!Stage(t + h, alpha, endGuess)) return Undo();
        Watch?.AfterEnd(this, C1, C2);
        return true;
    }

    public bool KeepAmperes { get; set; }

    /// <summary>Puts states and slopes back to the start of the last step.</summary>
    public bool Undo()
    {
        _start.CopyTo(S, 0);
        _startSlope.CopyTo(D, 0);
        return false;
    }

    /// <summary>Estimated error of state k in the last step of length h, in its own unit.</summary>
    public double Error(int k, double h) =>
        2 * K * h * (_startSlope[k] / Gamma - _middleSlope[k] / (Gamma * (1 - Gamma)) + D[k] / (1 - Gamma));

    private bool Stage(double t, double alpha, double[]? guess)
    {
        var e = Equations;
        if (alpha != _alpha) Companions(alpha);
        foreach (var k in _sources)
        {
            var b = _branches[k];
            var value = b.Source!.At(t);
            e.J[k] = b.Kind == BranchKind.Resistive ? -value * e.G[k] : value;
        }
        for (var k = 0; k < _state.Length; k++)
        {
            var g = e.G[_state[k]];
            e.J[_state[k]] = IsCapacitor(k) ? -_history[k] * g : _history[k] * _impedance[k];
        }
        e.StampRight();
        if (guess is not null) e.Expect(guess);
        var n = e.NewtonHeld(Newton.Relative, Newton.Absolute);
        Iterations += n < 0 ? 60 : n;
        if (n < 0) return false;
        for (var k = 0; k < _state.Length; k++)
        {
            var b = _branches[_state[k]];
            var u = b.Across(e.X);
            var i = e.G[_state[k]] * u + e.J[_state[k]];
            if (b.Kind == BranchKind.Capacitive) (D[k], S[k]) = (i / b.Value, _history[k] + alpha / b.Value * i);
            else (D[k], S[k]) = ((u - b.Ohms * i) / b.Value, i);
        }
        return true;
    }

    /// <summary>Implicit companions s = history + α·s'. Capacitor: i = (u − history)/(R + α/C). Coil: i = (history + α/L·u)/(1 + αR/L).</summary>
    private void Companions(double alpha)
    {
        _alpha = alpha;
        for (var k = 0; k < _state.Length; k++)
        {
            var b = _branches[_state[k]];
            if (b.Kind == BranchKind.Capacitive) Equations.G[_state[k]] = 1 / (b.Ohms + alpha / b.Value);
            else
            {
                _impedance[k] = 1 / (1 + alpha * b.Ohms / b.Value);
                Equations.G[_state[k]] = alpha / b.Value * _impedance[k];
            }
        }
        Equations.StampMatrix(0);
    }

    /// <summary>For sensitivities: adds the current injected into the unknowns by a change of the history of state k.</summary>
    public void Inject(int k, double change, Span<double> right)
    {
        var b = _branches[_state[k]];
        var j = change * (IsCapacitor(k) ? -Equations.G[_state[k]] : _impedance[k]);
        for (var r = 0; r < b.Nodes.Length; r++) right[b.Nodes[r]] -= b.Signs[r] * j;
    }

    /// <summary>For sensitivities: how state k and its slope change when unknowns change by dx and its history by change.</summary>
    public (double State, double Slope) Follow(int k, double change, ReadOnlySpan<double> dx)
    {
        var b = _branches[_state[k]];
        var u = b.Across(dx);
        var i = Equations.G[_state[k]] * u + change * (IsCapacitor(k) ? -Equations.G[_state[k]] : _impedance[k]);
        return b.Kind == BranchKind.Capacitive ? (change + _alpha / b.Value * i, i / b.Value) : (i, (u - b.Ohms * i) / b.Value);
    }
}
