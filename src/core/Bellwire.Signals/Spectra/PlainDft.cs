namespace Bellwire.Signals;

/// <summary>The transform as its definition has it, the judge of the fast one: X(k) = Σ x(n) e^(−2πikn/N).</summary>
public static class PlainDft
{
    /// <summary>Bins 0..N/2 of a real sequence, any length ≥ 1; cost N².</summary>
    public static (double[] Real, double[] Imaginary) Of(ReadOnlySpan<double> samples)
    {
        if (samples.Length < 1) throw new ArgumentException("A transform needs at least one sample.", nameof(samples));
        var bins = samples.Length / 2 + 1;
        var (real, imaginary) = (new double[bins], new double[bins]);
        for (var k = 0; k < bins; k++)
            for (var n = 0; n < samples.Length; n++)
            {
                var (sin, cos) = Math.SinCos(-2 * Math.PI * ((long)k * n % samples.Length) / samples.Length);
                real[k] += samples[n] * cos;
                imaginary[k] += samples[n] * sin;
            }
        return (real, imaginary);
    }
}
