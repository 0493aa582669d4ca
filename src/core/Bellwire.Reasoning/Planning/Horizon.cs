namespace Bellwire.Reasoning.Planning;

/// <summary>What the rest may cost, reckoned along one simple way to the end.</summary>
internal sealed class Horizon(PlanProblem problem)
{
    private readonly int[] _mends = [.. Indices(problem, a => !a.Leads.IsEmpty)];
    private readonly int[] _proofs = [.. Indices(problem, a => a.Ends >= 0 && a.Leads.IsEmpty).OrderBy(i => problem.Acts[i].Cost)];
    private readonly bool _selfProving = problem.Acts.Any(a => a.Ends >= 0 && !a.Leads.IsEmpty);

    public double Cost(Belief belief)
    {
        if (problem.EndsWhenKnown) return Math.Min(problem.GivingUp, Asking(belief));
        var each = Mending(belief, proveEach: true);
        return Math.Min(problem.GivingUp, _selfProving || _proofs.Length == 0 ? each : Math.Min(each, Mending(belief, proveEach: false)));
    }

    /// <summary>Bits still open, at the best rate of cost for each bit that any one act offers now.</summary>
    private double Asking(Belief belief)
    {
        var open = Bits(belief.P);
        if (open < 1e-9) return 0;
        var rate = double.PositiveInfinity;
        for (var a = 0; a < problem.Acts.Length; a++)
        {
            if (belief.Do(problem, a) is not { } ways) continue;
            var told = open - ways.Sum(w => w.Chance * Bits(w.After.P));
            if (told > 1e-9) rate = Math.Min(rate, problem.Cost(a, belief.Done) / told);
        }
        return double.IsInfinity(rate) ? 0 : rate * open;
    }

    /// <summary>Mends in the order of the chance that they change anything over their cost, with a proof after each, or after all that could matter.</summary>
    private double Mending(Belief belief, bool proveEach)
    {
        var p = (double[])belief.P.Clone();
        var left = _mends.Where(i => !problem.Acts[i].Once || (belief.Done >> i & 1) == 0).ToList();
        double cost = 0;
        if (!proveEach) left.RemoveAll(i => Changes(p, i) < 1e-9);
        while (true)
        {
            var rest = p.Sum();
            if (rest < 1e-9) return cost;
            var best = left.Count == 0 ? -1 : left.MaxBy(i => Changes(p, i) / Math.Max(1e-12, problem.Acts[i].Cost));
            if (best < 0 || Changes(p, best) < 1e-12)
            {
                // Nothing left to mend: one proof more may end it; what it leaves open has no end in sight.
                if (_proofs.Length > 0)
                {
                    cost += rest * problem.Acts[_proofs[0]].Cost;
                    p = Remaining(p, _proofs[0]);
                }
                var open = p.Sum();
                return open < 1e-9 ? cost : cost + open * problem.GivingUp;
            }
            left.Remove(best);
            cost += rest * problem.Acts[best].Cost;
            p = Moved(p, best);
            if (problem.Acts[best].Ends >= 0) p = Remaining(p, best);
            else if (_proofs.Length > 0 && (proveEach || left.Count == 0 || left.All(i => Changes(p, i) < 1e-9)))
            {
                cost += p.Sum() * problem.Acts[_proofs[0]].Cost;
                p = Remaining(p, _proofs[0]);
            }
        }
    }

    private double Changes(double[] p, int act)
    {
        double sum = 0;
        for (var s = 0; s < p.Length; s++)
            if (problem.Acts[act].Leads[s] != s) sum += p[s];
        return sum;
    }

    private double[] Moved(double[] p, int act)
    {
        var r = new double[p.Length];
        for (var s = 0; s < p.Length; s++) r[problem.Acts[act].Leads[s]] += p[s];
        return r;
    }

    private double[] Remaining(double[] p, int act)
    {
        var r = new double[p.Length];
        for (var s = 0; s < p.Length; s++) r[s] = p[s] * (1 - problem.Acts[act].Chances[s][problem.Acts[act].Ends]);
        return r;
    }

    private static double Bits(double[] p)
    {
        double h = 0;
        foreach (var x in p)
            if (x > 0) h -= x * Math.Log2(x);
        return h;
    }

    private static IEnumerable<int> Indices(PlanProblem problem, Func<PlanAct, bool> which) =>
        Enumerable.Range(0, problem.Acts.Length).Where(i => which(problem.Acts[i]));
}
