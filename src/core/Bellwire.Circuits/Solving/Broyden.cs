namespace Bellwire.Circuits.Solving;

/// <summary>
/// Corrections for F(s) = 0 from an approximate inverse Jacobian that learns from each pass (Broyden 1965, the update by
/// Sherman &amp; Morrison).
/// </summary>
internal sealed class Broyden
{
    private readonly int _m;
    private readonly double[] _inverse, _step, _value, _image, _row;
    private bool _moved;

    /// <param name="jacobian">Factored; F(s) = s − S(T; s), so I − Φ.</param>
    public Broyden(RealLu jacobian, int m)
    {
        _m = m;
        (_inverse, _step, _value, _image, _row) = (new double[m * m], new double[m], new double[m], new double[m], new double[m]);
        for (var c = 0; c < m; c++)
        {
            Array.Clear(_row);
            _row[c] = 1;
            jacobian.Solve(_row);
            for (var r = 0; r < m; r++) _inverse[r * m + c] = _row[r];
        }
    }

    /// <summary>The next step for the value F(s) at the place the last step led to.</summary>
    public void Next(ReadOnlySpan<double> value, Span<double> step)
    {
        if (_moved) Learn(value);
        for (var r = 0; r < _m; r++)
        {
            step[r] = 0;
            for (var c = 0; c < _m; c++) step[r] -= _inverse[r * _m + c] * value[c];
        }
        step.CopyTo(_step);
        value.CopyTo(_value);
        _moved = true;
    }

    private void Learn(ReadOnlySpan<double> value)
    {
        var scale = 0.0;
        for (var r = 0; r < _m; r++)
        {
            (_image[r], _row[r]) = (0, 0);
            for (var c = 0; c < _m; c++)
            {
                _image[r] += _inverse[r * _m + c] * (value[c] - _value[c]);
                _row[r] += _step[c] * _inverse[c * _m + r];
            }
        }
        for (var r = 0; r < _m; r++) scale += _step[r] * _image[r];
        if (!(Math.Abs(scale) > 1e-30)) return;
        for (var r = 0; r < _m; r++)
            for (var c = 0; c < _m; c++) _inverse[r * _m + c] += (_step[r] - _image[r]) * _row[c] / scale;
    }
}
