using System.Collections.Immutable;
using Bellwire.Counsel;
using Bellwire.Reasoning;
using Bellwire.Sheets;
using Core.Tests.Sheets;

namespace Core.Tests.Counsel;

/// <summary>What looks are worth, held against preposterior analysis written out: the expected cost of the best act before them less that after them
/// (Raiffa and Schlaifer 1961, Applied Statistical Decision Theory, chapter 4, from memory), with Bayes' theorem for sites and looks that do not hang together.</summary>
public class RoundOfLooksTests
{
    private static readonly TypeSheet Sheet = ShippedFiles.Read("corridor-nine");
    private const double FollowUp = 16;

    private static (Doubt Doubt, Posterior Belief) Opened()
    {
        var w = BenchedSet.Of(Sheet, "limited", []);
        var weighed = Counsellor.Weigh(w.State, "J", Sheet);
        var doubt = new Doubt(Sheet, weighed.Built, new Namer(w.State, Sheet, weighed.Built), new AdviceOptions());
        doubt.Know(weighed.Weighing.Posterior!, ProofOrder.None);
        return (doubt, weighed.Weighing.Posterior!);
    }

    private static MoveValue Shows(string good, double chance, params (SiteRef Site, double Now, double Then)[] after) =>
        new("look", 0, ImmutableDictionary<string, double>.Empty.Add(good, chance).Add("otherwise", 1 - chance), ImmutableDictionary<SiteRef, double>.Empty,
            ImmutableDictionary<string, ImmutableArray<(SiteRef, double, double)>>.Empty.Add(good, [.. after]), 0);

    [Fact]
    public void A_round_spares_what_the_proof_is_expected_to_cost_less_before_it_than_after()
    {
        var (doubt, belief) = Opened();
        var check = Sheet.Checks.First(c => c.Id == "fn-am");
        var good = check.Outcomes[0];
        var (right, deceived) = (check.Matrix[good].Values.Max(), check.Matrix[good].Values.Min());
        Assert.InRange(deceived, 0, right / 2);
        var left = belief.Sites.Where(s => doubt.MendMinutes(s.Site) is { } m && s.Faulty < doubt.WorthMending(m)).ToList();
        var looked = left.OrderByDescending(s => s.Faulty).Take(5).ToList();
        Assert.All(looked, s => Assert.InRange(s.Faulty, 0.001, 0.999));
        double Good(double p) => p * deceived + (1 - p) * right;

        var round = doubt.OfRound(looked.Select(s => (Shows(good, Good(s.Faulty), (s.Site, s.Faulty, s.Faulty * deceived / Good(s.Faulty))), check)));

        var sound = left.Aggregate(1.0, (q, s) => q * (1 - s.Faulty));
        for (var n = 1; n <= looked.Count; n++)
        {
            var allGood = looked.Take(n).Aggregate(1.0, (q, s) => q * Good(s.Faulty));
            var soundAndGood = sound * Math.Pow(right, n);
            var expected = doubt.Missed * (1 - sound) - doubt.Missed * (allGood - soundAndGood) - (1 - allGood) * FollowUp;
            Assert.Equal(expected, round[n - 1], 1e-6);
        }
    }

    [Fact]
    public void A_look_at_what_is_bad_anyway_adds_nothing_to_a_round()
    {
        var (doubt, belief) = Opened();
        var check = Sheet.Checks.First(c => c.Id == "fn-am");
        var site = belief.Sites.First(s => doubt.MendMinutes(s.Site) is { } m && s.Faulty > 0.001 && s.Faulty < doubt.WorthMending(m));
        var round = doubt.OfRound([(Shows(check.Outcomes[0], 0.9, (site.Site, site.Faulty, site.Faulty / 2)), check), (Shows(check.Outcomes[0], 0.1, (site.Site, site.Faulty, 0)), check)]);
        Assert.Equal(round[0], round[1], 1e-12);
    }

    [Fact]
    public void Not_knowing_costs_no_more_than_the_look_that_would_settle_it()
    {
        var (doubt, belief) = Opened();
        var direct = Sheet.Checks.First(c => c.Id == "chime-generator");
        var site = belief.Sites.Single(s => s.Site == SiteRef.OfPiece("J-chime", "generator")).Site;
        var look = direct.Minutes + Sheet.Bundles.First(b => b.Id == direct.Bundle).SetUpMinutes;
        // Even odds: mended in vain half the time it would cost half the mend, and a proof that fails on it half of that.
        Assert.True(1.5 * look < 0.5 * Math.Min(doubt.MendMinutes(site)!.Value, doubt.Missed));
        Assert.Equal(1.5 * look, doubt.TakenAway(Shows("good", 1, (site, 0.5, 0))), 1e-9);
        // Next to sure either way the cheaper mistake is cheaper than looking.
        Assert.Equal(0.01 * doubt.Missed, doubt.TakenAway(Shows("good", 1, (site, 0.01, 0))), 1e-9);
        Assert.Equal(0.01 * doubt.MendMinutes(site)!.Value, doubt.TakenAway(Shows("good", 1, (site, 0.99, 1))), 1e-9);
    }
}
