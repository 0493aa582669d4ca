namespace Bellwire.Reasoning.Plain;

/// <summary>Visits explicit worlds one after another: every one of them, or drawn by lot.</summary>
internal static class PlainWalk
{
    /// <summary>Visits each joint value of the variables that a world asks for, in turn, with its prior probability.
    /// False when <paramref name="limit"/> worlds did not suffice.</summary>
    public static bool All(Case c, long limit, Action<PlainWorld, Func<double>> visit, CancellationToken ct = default)
    {
        var picks = new List<(int Value, double[] Chances)>();
        for (long n = 0; ; n++)
        {
            if (n >= limit) return false;
            if ((n & 255) == 0) ct.ThrowIfCancellationRequested();
            var depth = 0;
            double prior = 1;
            var world = new PlainWorld(c, (_, chances) =>
            {
                if (depth == picks.Count) picks.Add((Next(chances, -1), chances));
                var value = picks[depth++].Value;
                prior *= chances[value];
                return value;
            });
            visit(world, () => prior);
            while (picks.Count > 0)
            {
                var (value, chances) = picks[^1];
                var next = Next(chances, value);
                picks.RemoveAt(picks.Count - 1);
                if (next < 0) continue;
                picks.Add((next, chances));
                break;
            }
            if (picks.Count == 0) return true;
        }
    }

    /// <summary>A world in which every value that is possible at all is chosen as often as any other, and the product of how many there were.</summary>
    public static (PlainWorld World, Func<double> Choices) Evenly(Case c, ulong seed)
    {
        var next = Numbers(seed);
        double product = 1;
        return (new PlainWorld(c, (_, chances) =>
        {
            var possible = chances.Count(p => p > 0);
            product *= possible;
            var pick = -1;
            for (var k = (int)(next() * possible); k >= 0; k--) pick = Next(chances, pick);
            return pick;
        }), () => product);
    }

    /// <summary>One world drawn from the prior by the given seed.</summary>
    public static PlainWorld ByLot(Case c, ulong seed)
    {
        var next = Numbers(seed);
        return new PlainWorld(c, (_, chances) =>
        {
            var u = next();
            for (var i = 0; i < chances.Length; i++)
            {
                if (u < chances[i]) return i;
                u -= chances[i];
            }
            return Array.FindLastIndex(chances, p => p > 0);
        });
    }

    /// <summary>Numbers evenly spread over 0..1 (splitmix64).</summary>
    private static Func<double> Numbers(ulong seed)
    {
        var state = seed * 0x9E3779B97F4A7C15 + 0x632BE59BD9B4E019;
        return () =>
        {
            state += 0x9E3779B97F4A7C15;
            var z = state;
            z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9;
            z = (z ^ (z >> 27)) * 0x94D049BB133111EB;
            return ((z ^ (z >> 31)) >> 11) * (1.0 / (1UL << 53));
        };
    }

    private static int Next(double[] chances, int after)
    {
        for (var i = after + 1; i < chances.Length; i++)
            if (chances[i] > 0) return i;
        return -1;
    }
}
