namespace Bellwire.Circuits.Solving;

/// <summary>
/// The derivative of states and slopes with respect to the states at the start of the period, carried along step by step
/// with the factors each stage has anyway (Aprille &amp; Trick 1972). After a period it is the monodromy matrix.
/// </summary>
internal sealed class Sensitivity(int states, int unknowns)
{
    private readonly double[] _start = new double[states * states];
    private readonly double[] _history = new double[states], _right = new double[unknowns + 1];

    /// <summary>∂S/∂S₀, column by column: entry [column · states + row].</summary>
    public double[] State { get; } = new double[states * states];
    public double[] Slope { get; } = new double[states * states];

    public void AfterBegin(Stepper s, double tiny)
    {
        Array.Clear(_start);
        for (var k = 0; k < states; k++) _start[k * states + k] = 1;
        _start.CopyTo(State, 0);
        Propagate(s, (column, row) => _start[column * states + row]);
        _start.CopyTo(State, 0);
    }

    public void AfterMiddle(Stepper s, double alpha)
    {
        State.CopyTo(_start, 0);
        Propagate(s, (column, row) => State[column * states + row] + alpha * Slope[column * states + row]);
    }

    public void AfterEnd(Stepper s, double c1, double c2) =>
        Propagate(s, (column, row) => c1 * State[column * states + row] - c2 * _start[column * states + row]);

    private void Propagate(Stepper s, Func<int, int, double> history)
    {
        for (var column = 0; column < states; column++)
        {
            Array.Clear(_right);
            for (var k = 0; k < states; k++)
            {
                _history[k] = history(column, k);
                s.Inject(k, _history[k], _right);
            }
            _right[unknowns] = 0;
            s.Equations.Respond(_right);
            _right[unknowns] = 0;
            for (var k = 0; k < states; k++)
                (State[column * states + k], Slope[column * states + k]) = s.Follow(k, _history[k], _right);
        }
    }
}
