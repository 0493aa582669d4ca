using System.Text;

namespace Bellwire.Circuits.Tolerances;

/// <summary>
/// The chance of one part in one draw: a stream decided by (seed, number, part name) alone, so that draws are common to all
/// faults and repeatable everywhere.
/// </summary>
public struct Draw
{
    private ulong _state;

    public Draw(int seed, int number, string part)
    {
        var hash = 14695981039346656037UL; // FNV-1a, 64 bit
        foreach (var b in Encoding.UTF8.GetBytes(part)) hash = (hash ^ b) * 1099511628211UL;
        _state = hash ^ ((ulong)(uint)seed * 0x9E3779B97F4A7C15UL) ^ ((ulong)(uint)number << 32 | (uint)number) * 0xD1B54A32D192ED03UL;
        Next();
    }

    /// <summary>A value within its tolerance: normal with 2 sigma = tolerance, cut at the tolerance (common practice, no source).</summary>
    /// <param name="nominal">The marked value.</param>
    /// <param name="tolerance">Relative, 0.05 for 5 %.</param>
    public double Value(double nominal, double tolerance) => tolerance == 0 ? nominal : nominal * (1 + tolerance * Cut());

    /// <summary>A value spread by a factor: ln(value) normal, 2 sigma = ln(factor), cut there. For gains and leakages.</summary>
    public double Factor(double nominal, double factor) => factor == 1 ? nominal : nominal * Math.Exp(Math.Log(factor) * Cut());

    private double Cut()
    {
        for (; ; )
        {
            var g = 0.5 * Math.Sqrt(-2 * Math.Log(1 - Uniform())) * Math.Cos(2 * Math.PI * Uniform());
            if (Math.Abs(g) <= 1) return g;
        }
    }

    private double Uniform() => (Next() >> 11) * (1.0 / (1UL << 53));

    private ulong Next() // splitmix64, Steele, Lea & Flood 2014
    {
        var z = _state += 0x9E3779B97F4A7C15UL;
        z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9UL;
        z = (z ^ (z >> 27)) * 0x94D049BB133111EBUL;
        return z ^ (z >> 31);
    }
}
