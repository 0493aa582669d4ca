using System.Collections.Immutable;
using Bellwire.Reasoning.Planning;

namespace Core.Tests.Reasoning;

/// <summary>Mend-and-check jobs: independent sites, the unit known not to work, perfect mends, a perfect system test that must end on
/// "works", and module tests that may err, once each. Posed to the planner, and solved exactly by dynamic programming that shares nothing with it.</summary>
internal sealed record MendModel(double[] P, double[] Replace, double System, (int Site, double Cost, double Hit, double False)[] Tests)
{
    public int Sites => P.Length;

    public static MendModel Random(int seed, int sites, int tests)
    {
        var r = new Random(seed);
        double Between(double low, double high) => low + (high - low) * r.NextDouble();
        return new MendModel([.. Enumerable.Range(0, sites).Select(_ => Between(0.03, 0.4))], [.. Enumerable.Range(0, sites).Select(_ => Math.Round(Between(20, 100)))],
            5, [.. Enumerable.Range(0, tests).Select(_ => (r.Next(sites), Math.Round(Between(4, 20)), Between(0.8, 1), Between(0, 0.2)))]);
    }

    public PlanProblem Pose()
    {
        var n = 1 << Sites;
        var prior = Enumerable.Range(0, n).Select(s => s == 0 ? 0 : Prior(s)).ToArray();
        var acts = ImmutableArray.CreateBuilder<PlanAct>();
        ImmutableArray<ImmutableArray<double>> Sure = [.. Enumerable.Range(0, n).Select(_ => ImmutableArray.Create(1.0))];
        for (var i = 0; i < Sites; i++) acts.Add(new PlanAct("replace " + Name(i), Replace[i], ["done"], Sure, [.. Enumerable.Range(0, n).Select(s => s & ~(1 << i))]));
        acts.Add(new PlanAct("system", System, ["works", "fails"], [.. Enumerable.Range(0, n).Select(s => s == 0 ? ImmutableArray.Create(1.0, 0) : [0, 1.0])], [], Ends: 0, Once: false));
        foreach (var (t, k) in Tests.Select((t, k) => (t, k)))
            acts.Add(new PlanAct("test " + Name(t.Site) + (Tests.Take(k).Any(x => x.Site == t.Site) ? " again " + k : ""), t.Cost, ["bad", "good"], [.. Enumerable.Range(0, n).Select(s => (s >> t.Site & 1) == 1
                ? ImmutableArray.Create(t.Hit, 1 - t.Hit) : [t.False, 1 - t.False])], []));
        return new PlanProblem([.. Enumerable.Range(0, n).Select(s => s.ToString())], [.. prior.Select(p => p / prior.Sum())], acts.ToImmutable());
    }

    /// <summary>Least expected cost. What is known: which sites were replaced, which had been when the unit last failed, how each test came out.</summary>
    public double Optimum()
    {
        var memo = new Dictionary<(int, int, int), double>();
        return Value(0, 0, new int[Tests.Length]);

        double Value(int replaced, int failed, int[] seen)
        {
            var key = (replaced, failed, seen.Aggregate(0, (k, x) => k * 3 + x));
            if (memo.TryGetValue(key, out var known)) return known;
            var all = Mass(s => (s & ~failed) != 0, seen);
            var best = double.PositiveInfinity;
            for (var i = 0; i < Sites; i++)
                if ((replaced >> i & 1) == 0) best = Math.Min(best, Replace[i] + Value(replaced | 1 << i, failed, seen));
            if (replaced != failed)
            {
                var fails = Mass(s => (s & ~replaced) != 0, seen) / all;
                best = Math.Min(best, System + (fails > 1e-12 ? fails * Value(replaced, replaced, seen) : 0));
            }
            for (var t = 0; t < Tests.Length; t++)
            {
                if (seen[t] != 0 || (replaced >> Tests[t].Site & 1) == 1) continue;
                var cost = Tests[t].Cost;
                foreach (var outcome in new[] { 1, 2 })
                {
                    var then = (int[])seen.Clone();
                    then[t] = outcome;
                    var p = Mass(s => (s & ~failed) != 0, then) / all;
                    if (p > 1e-12) cost += p * Value(replaced, failed, then);
                }
                best = Math.Min(best, cost);
            }
            return memo[key] = best;
        }
    }

    private static string Name(int site) => ((char)('A' + site)).ToString();

    private double Prior(int s)
    {
        double p = 1;
        for (var i = 0; i < Sites; i++) p *= (s >> i & 1) == 1 ? P[i] : 1 - P[i];
        return p;
    }

    private double Mass(Func<int, bool> may, int[] seen)
    {
        double sum = 0;
        for (var s = 1; s < 1 << Sites; s++)
        {
            if (!may(s)) continue;
            var p = Prior(s);
            for (var t = 0; t < seen.Length; t++)
            {
                var bad = (s >> Tests[t].Site & 1) == 1 ? Tests[t].Hit : Tests[t].False;
                if (seen[t] != 0) p *= seen[t] == 1 ? bad : 1 - bad;
            }
            sum += p;
        }
        return sum;
    }
}
