namespace Bellwire.Circuits.Solving;

/// <summary>The time after which all sources repeat together.</summary>
internal static class Period
{
    private const double Longest = 2;

    /// <returns>Common period and the period of the fastest source, s; the idle time twice when all are steady.</returns>
    /// <exception cref="ArgumentException">A source never repeats, or all together not within two seconds.</exception>
    public static (double Common, double Fastest) Of(Assembly assembly, double idleSeconds)
    {
        var common = 0.0;
        var fastest = 0.0;
        foreach (var b in assembly.Branches)
        {
            if (b.Source is not { } w) continue;
            var hertz = w.RepeatsHertz ?? throw new ArgumentException($"{b.Device} never repeats, so there is no steady state; use a transient.");
            if (hertz == 0) continue;
            common = common == 0 ? hertz : Divisor(common, hertz);
            fastest = Math.Max(fastest, hertz);
        }
        if (common == 0) return (idleSeconds, idleSeconds);
        if (common * Longest < 1) throw new ArgumentException(FormattableString.Invariant($"The sources repeat together only every {1 / common:0.##} s; choose frequencies with a common period of {Longest} s or less."));
        return (1 / common, 1 / fastest);
    }

    /// <summary>Euclid on frequencies, exact to a millionth.</summary>
    private static double Divisor(double a, double b)
    {
        var least = 1e-6 * Math.Max(a, b);
        while (b > least)
        {
            var rest = a - b * Math.Floor(a / b + 1e-9);
            (a, b) = (b, Math.Max(0, rest));
        }
        return a;
    }
}
