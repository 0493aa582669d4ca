namespace Bellwire.Perf.Benches;

/// <summary>Chance by name: the same case, asked the same question, answers alike whatever else was asked before.
/// That is what makes two orders of looking meet the very same set.</summary>
internal sealed class Lot(ulong seed)
{
    /// <summary>Uniform in [0, 1).</summary>
    public double Of(string name)
    {
        var h = 14695981039346656037UL;   // FNV-1a, then the finaliser of SplitMix64
        foreach (var c in name) h = (h ^ c) * 1099511628211UL;
        var z = h ^ ((seed + 1) * 0x9E3779B97F4A7C15UL);
        z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9UL;
        z = (z ^ (z >> 27)) * 0x94D049BB133111EBUL;
        z ^= z >> 31;
        z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9UL;
        return ((z ^ (z >> 31)) >> 11) * (1.0 / (1UL << 53));
    }

    public int Pick(string name, IReadOnlyList<double> chances)
    {
        var u = Of(name);
        for (var i = 0; i < chances.Count; i++)
        {
            if (u < chances[i]) return i;
            u -= chances[i];
        }
        for (var i = chances.Count - 1; i > 0; i--) if (chances[i] > 0) return i;
        return 0;
    }

    public T One<T>(string name, IReadOnlyList<T> of) => of[Math.Min(of.Count - 1, (int)(Of(name) * of.Count))];
}
