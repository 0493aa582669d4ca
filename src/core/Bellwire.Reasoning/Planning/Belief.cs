namespace Bellwire.Reasoning.Planning;

/// <summary>What is believed of the world at some point of a plan, and which acts were done.</summary>
/// <param name="P">State → probability, adding up to one.</param>
internal sealed record Belief(double[] P, ulong Done)
{
    private const double Nothing = 1e-12;

    public bool Known => P.Any(p => p > 1 - 1e-9);

    /// <summary>Every outcome that can come, with its chance, what is then believed, and whether all is over. Null when the act is spent or would
    /// neither change nor tell anything.</summary>
    public List<(int Outcome, double Chance, Belief After, bool Over)>? Do(PlanProblem problem, int act)
    {
        var a = problem.Acts[act];
        if (a.Once && (Done >> act & 1) == 1) return null;
        var moved = P;
        if (!a.Leads.IsEmpty)
        {
            moved = new double[P.Length];
            for (var s = 0; s < P.Length; s++) moved[a.Leads[s]] += P[s];
        }
        var done = a.Leads.IsEmpty ? Done : problem.AfterChange(Done);
        if (a.Once) done |= 1UL << act;
        var all = new List<(int, double, Belief, bool)>(a.Outcomes.Length);
        for (var o = 0; o < a.Outcomes.Length; o++)
        {
            double chance = 0;
            for (var s = 0; s < moved.Length; s++) chance += moved[s] * a.Chances[s][o];
            if (chance < Nothing) continue;
            var after = new double[moved.Length];
            for (var s = 0; s < after.Length; s++) after[s] = moved[s] * a.Chances[s][o] / chance;
            var belief = new Belief(after, done);
            all.Add((o, chance, belief, o == a.Ends || (problem.EndsWhenKnown && belief.Known)));
        }
        // All alike after as before: nothing was changed and nothing told.
        if (!all.Any(x => x.Item4) && all.All(x => Same(x.Item3.P, P))) return null;
        return all;
    }

    private static bool Same(double[] a, double[] b)
    {
        for (var i = 0; i < a.Length; i++)
            if (Math.Abs(a[i] - b[i]) > 1e-9) return false;
        return true;
    }

    /// <summary>Beliefs that agree to ten digits are one.</summary>
    public sealed class Alike : IEqualityComparer<Belief>
    {
        public bool Equals(Belief? x, Belief? y)
        {
            if (x!.Done != y!.Done) return false;
            for (var i = 0; i < x.P.Length; i++)
                if (Rough(x.P[i]) != Rough(y.P[i])) return false;
            return true;
        }

        public int GetHashCode(Belief x)
        {
            var h = new HashCode();
            h.Add(x.Done);
            foreach (var p in x.P) h.Add(Rough(p));
            return h.ToHashCode();
        }

        private static long Rough(double p) => (long)Math.Round(p * 1e10);
    }
}
