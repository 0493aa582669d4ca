namespace Bellwire.Counsel;

/// <summary>A smooth density through the draws of one fault: every draw is the centre of a normal hill, drawn in towards the mean so that hills and
/// draws together keep the spread the draws have (West, "Mixture models, Monte Carlo, Bayesian updating", 1993; width by Silverman, 1986).</summary>
internal sealed class Kernel
{
    private readonly double[][] _draws;
    private readonly double[] _mean;

    /// <param name="draws">[draw][point], in the point's unit; at least one.</param>
    public Kernel(double[][] draws)
    {
        _draws = draws;
        _mean = [.. Enumerable.Range(0, draws[0].Length).Select(j => draws.Average(d => d[j]))];
    }

    public double Mean(int point) => _mean[point];

    public IEnumerable<double> Column(int point) => _draws.Select(d => d[point]);

    /// <summary>ln of the density at readings of some points, each blurred by the meter.</summary>
    /// <param name="points">Which points, none twice; with none the density is one.</param>
    /// <param name="meters">Standard deviation of each reading about the true value, above 0.</param>
    public double Log(ReadOnlySpan<int> points, ReadOnlySpan<double> readings, ReadOnlySpan<double> meters)
    {
        var d = points.Length;
        if (d == 0) return 0;
        var n = _draws.Length;
        var h = n < 2 ? 0 : Math.Min(1, Math.Pow(4.0 / (d + 2), 1.0 / (d + 4)) * Math.Pow(n, -1.0 / (d + 4)));
        var inward = Math.Sqrt(1 - h * h);
        var cholesky = new double[d * d];
        for (var i = 0; i < d; i++)
            for (var j = 0; j <= i; j++)
            {
                double covariance = 0;
                if (h > 0) foreach (var x in _draws) covariance += (x[points[i]] - _mean[points[i]]) * (x[points[j]] - _mean[points[j]]);
                cholesky[i * d + j] = h > 0 ? h * h * covariance / (n - 1) : 0;
                if (i == j) cholesky[i * d + i] += meters[i] * meters[i];
            }
        var half = 0.0;
        for (var i = 0; i < d; i++)
            for (var j = 0; j <= i; j++)
            {
                var s = cholesky[i * d + j];
                for (var k = 0; k < j; k++) s -= cholesky[i * d + k] * cholesky[j * d + k];
                if (i == j) { cholesky[i * d + i] = Math.Sqrt(Math.Max(s, meters[i] * meters[i] * 1e-9)); half += Math.Log(cholesky[i * d + i]); }
                else cholesky[i * d + j] = s / cholesky[j * d + j];
            }
        Span<double> z = stackalloc double[d];
        double most = double.NegativeInfinity, sum = 0;
        foreach (var x in _draws)
        {
            var square = 0.0;
            for (var i = 0; i < d; i++)
            {
                var r = readings[i] - _mean[points[i]] - inward * (x[points[i]] - _mean[points[i]]);
                for (var k = 0; k < i; k++) r -= cholesky[i * d + k] * z[k];
                z[i] = r / cholesky[i * d + i];
                square += z[i] * z[i];
            }
            var log = -0.5 * square;
            if (log > most) { sum = sum * Math.Exp(most - log) + 1; most = log; }
            else sum += Math.Exp(log - most);
        }
        return most + Math.Log(sum / n) - half - d * 0.5 * Math.Log(2 * Math.PI);
    }
}

/// <summary>One thing a state may be, as it reads. An ohmmeter may read it in several ways – either lead red, its range left where a good set wants it –
/// at each point anew; the tolerances that points have in common count for little there, and points stand by themselves.</summary>
/// <param name="ways">[way][draw][point], each as likely as any other.</param>
internal sealed class Specimens(IEnumerable<double[][]> ways)
{
    private readonly Kernel[] _ways = [.. ways.Select(w => new Kernel(w))];

    public IEnumerable<double> Means(int point) => _ways.Select(w => w.Mean(point));

    public IEnumerable<double> Column(int point) => _ways.SelectMany(w => w.Column(point));

    /// <summary>ln of the density at readings of some points; see <see cref="Kernel.Log"/>.</summary>
    public double Log(ReadOnlySpan<int> points, ReadOnlySpan<double> readings, ReadOnlySpan<double> meters)
    {
        if (_ways is [var only]) return only.Log(points, readings, meters);
        var sum = 0.0;
        for (var i = 0; i < points.Length; i++)
        {
            var (most, total) = (double.NegativeInfinity, 0.0);
            foreach (var w in _ways)
            {
                var log = w.Log(points[i..(i + 1)], readings[i..(i + 1)], meters[i..(i + 1)]);
                (most, total) = log > most ? (log, total * Math.Exp(most - log) + 1) : (most, total + Math.Exp(log - most));
            }
            sum += most + Math.Log(total / _ways.Length);
        }
        return sum;
    }
}
