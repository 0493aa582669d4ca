using System.Collections.Immutable;
using Bellwire.Reasoning;
using Bellwire.Sheets.Rules;

namespace Bellwire.Sheets.Odds;

/// <summary>Turns the weights of a sheet into odds so that the number of faults in a set follows the stated profile.
/// The formulas and approximations stand in docs/sheets.md, "How odds are scaled".</summary>
internal static class OddsScale
{
    /// <summary>Shares of 1, 2, 3, 4-or-more faults among sets with any: an estimate of practice, no count is published.</summary>
    public static ImmutableArray<double> Wanted { get; } = [0.50, 0.30, 0.14, 0.06];

    /// <summary>A site as it counts: in which place, with which risks.</summary>
    /// <param name="Away">In the house, or passing: nothing lasting on the bench.</param>
    internal sealed record Risk(FaultDraft Fault, bool Away);

    /// <summary>The factor by which weights become risks λ = −ln(1 − p), and the profile it gives.</summary>
    public static FaultProfile Fit(IReadOnlyList<IReadOnlyList<Risk>> sites, IReadOnlyDictionary<string, double> causes)
    {
        var lanes = Lanes(causes);
        if (!sites.SelectMany(s => s).Any(r => r.Fault.Weight > 0)) return Profile(sites, lanes, 1.0);
        // Golden section over ln(scale): the divergence has one minimum, faults getting ever more numerous with the scale.
        double total = sites.SelectMany(s => s).Sum(r => r.Fault.Weight ?? 0), low = Math.Log(0.02 / total), high = Math.Log(20 / total);
        var ratio = (Math.Sqrt(5) - 1) / 2;
        double a = high - ratio * (high - low), b = low + ratio * (high - low);
        double fa = Divergence(sites, lanes, a), fb = Divergence(sites, lanes, b);
        for (var i = 0; i < 40; i++)
        {
            if (fa < fb)
            {
                (high, b, fb) = (b, a, fa);
                a = high - ratio * (high - low);
                fa = Divergence(sites, lanes, a);
            }
            else
            {
                (low, a, fa) = (a, b, fb);
                b = low + ratio * (high - low);
                fb = Divergence(sites, lanes, b);
            }
        }

        return Profile(sites, lanes, Math.Exp((low + high) / 2));
    }

    private static double Divergence(IReadOnlyList<IReadOnlyList<Risk>> sites, List<(double P, HashSet<string> On)> lanes, double logScale)
    {
        var p = Profile(sites, lanes, Math.Exp(logScale));
        double[] got = [p.One, p.Two, p.Three, p.More];
        return Wanted.Zip(got, (w, g) => w * Math.Log(w / Math.Max(g, 1e-12))).Sum();
    }

    /// <summary>Exact given the scale: every joint state of the causes, the count by dynamic programming.</summary>
    private static FaultProfile Profile(IReadOnlyList<IReadOnlyList<Risk>> sites, List<(double P, HashSet<string> On)> lanes, double scale)
    {
        var count = new double[5];
        double nothingLasting = 0;
        foreach (var (p, on) in lanes)
        {
            double[] dp = [1, 0, 0, 0, 0];
            double noneLasting = 1;
            foreach (var site in sites)
            {
                double away = 0, lasting = 0;
                foreach (var risk in site)
                {
                    var lambda = Lambda(risk.Fault, scale, on);
                    if (risk.Away) away += lambda;
                    else lasting += lambda;
                }

                var any = Chance(away + lasting);
                for (var k = 4; k >= 0; k--) dp[k] = (k == 4 ? dp[4] : dp[k] * (1 - any)) + (k > 0 ? dp[k - 1] * any : 0);
                if (lasting > 0) noneLasting *= 1 - any * lasting / (away + lasting);
            }

            for (var k = 0; k < 5; k++) count[k] += p * dp[k];
            nothingLasting += p * (noneLasting - dp[0]);
        }

        var some = Math.Max(1 - count[0], 1e-300);
        return new(count[0], count[1] / some, count[2] / some, count[3] / some, count[4] / some, nothingLasting / some, scale);
    }

    private static double Chance(double lambda) => 1 - Math.Exp(-lambda);

    private static double Lambda(FaultDraft f, double scale, HashSet<string>? on)
    {
        var own = f.Odds is { } odds ? -Math.Log(1 - odds) : (f.Weight ?? 0) * scale;
        var sum = own;
        foreach (var (cause, times, chance) in f.By)
            if (on is null || on.Contains(cause))
                sum += times is { } t ? (t - 1) * own : -Math.Log(1 - (chance ?? 0));
        return sum;
    }

    /// <summary>The engine's mode for a fault: base odds and each cause's own chance.</summary>
    public static ModeSpec Mode(FaultDraft f, double scale)
    {
        var own = f.Odds is { } odds ? -Math.Log(1 - odds) : (f.Weight ?? 0) * scale;
        return new(f.Id, f.Name, Chance(own),
            f.By.GroupBy(b => b.Cause).ToImmutableDictionary(g => g.Key, g => g.First() is var b && b.Times is { } t ? Chance((t - 1) * own) : g.First().Chance ?? 0), f.Shows);
    }

    private static List<(double P, HashSet<string> On)> Lanes(IReadOnlyDictionary<string, double> causes)
    {
        var lanes = new List<(double, HashSet<string>)> { (1.0, []) };
        foreach (var (cause, prior) in causes)
            lanes = [.. lanes.SelectMany(l => new[] { (l.Item1 * (1 - prior), l.Item2), (l.Item1 * prior, new HashSet<string>(l.Item2) { cause }) })];
        return lanes;
    }
}
