using Bellwire.Reasoning.Diagram;

namespace Bellwire.Reasoning.Engine;

/// <summary>How the first state of every site hangs on independent variables.</summary>
internal static class Origins
{
    public static int[] Of(Anatomy anatomy, Variables variables, Functions functions)
    {
        var f = new int[anatomy.Sites.Count];
        foreach (var carrier in anatomy.Sites.GroupBy(s => s.Carrier))
        {
            var sites = carrier.OrderBy(s => s.Rank).ToList();
            if (sites[0].Trust is { } trust) Trusted(anatomy, variables, functions, sites, trust, f);
            else
                foreach (var s in sites) f[s.Index] = functions.Of(Plain(anatomy, variables, s));
        }
        return f;
    }

    private static Variable Plain(Anatomy a, Variables variables, SiteInfo s) =>
        variables.Get($"site {s.Ref}", World.KeyOf(s, 600_000), s.States, () => a.Prior(s.Spec, s.Origin));

    /// <summary>A trusted piece: one variable says which site is the first bad one, and how it is bad (0 = none is);
    /// sites after it keep their own odds, sites before it are good. That is the product of the sites' odds given that
    /// not all are good, without tying the sites together.</summary>
    private static void Trusted(Anatomy a, Variables variables, Functions functions, List<SiteInfo> sites, double trust, int[] f)
    {
        var lanes = a.Lanes;
        var priors = sites.Select(s => a.Prior(s.Spec, s.Origin)).ToList();
        var arity = 1 + sites.Sum(s => s.Spec.Modes.Length);
        var first = variables.Get($"first {sites[0].Ref}", World.KeyOf(sites[0], 590_000), arity, () =>
        {
            var p = new double[arity * lanes];
            for (var l = 0; l < lanes; l++)
            {
                double good = 1;
                foreach (var q in priors) good *= q[l];
                var bad = 1 - good;
                p[l] = bad > 0 ? trust : 1;
                var v = 1;
                double before = 1, sum = 0;
                for (var i = 0; i < sites.Count; i++)
                {
                    for (var m = 1; m < sites[i].States; m++, v++) sum += p[v * lanes + l] = before * priors[i][m * lanes + l];
                    before *= priors[i][l];
                }
                for (v = 1; v < arity; v++) p[v * lanes + l] *= sum > 0 ? (1 - p[l]) / sum : 0;
            }
            return p;
        });
        var which = functions.Of(first);
        var from = 1;
        for (var i = 0; i < sites.Count; i++)
        {
            var s = sites[i];
            var own = new int[arity];
            var earlier = new int[arity];
            for (var v = 1; v < arity; v++)
            {
                if (v >= from && v < from + s.Spec.Modes.Length) own[v] = v - from + 1;
                if (v < from) earlier[v] = 1;
            }
            var r = functions.Map(which, own);
            if (i > 0) r = functions.IfThenElse(functions.Map(which, earlier), functions.Of(Plain(a, variables, s)), r);
            f[s.Index] = r;
            from += s.Spec.Modes.Length;
        }
    }
}
