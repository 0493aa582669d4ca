using System.Collections.Immutable;
using System.Globalization;
using System.Text.Json;
using Bellwire.Reasoning.Planning;

namespace Core.Tests.Reasoning;

/// <summary>Expected remaining cost: published examples (sources in reference/diagnosis-orders/SOURCE.md), and exact optima of random jobs.</summary>
public class PlanTests
{
    private static readonly JsonElement Values = Reference.Read("diagnosis-orders", "values.json");
    private static bool Deep => Environment.GetEnvironmentVariable("BELLWIRE_DEEP") == "1";

    private static double[] Numbers(JsonElement e) => [.. e.EnumerateArray().Select(x => x.GetDouble())];

    private static PlanProblem Sequencing()
    {
        var file = Values.GetProperty("sequencing");
        var rows = file.GetProperty("rows").EnumerateArray().Select(r => r.GetString()!).ToList();
        return new PlanProblem([.. rows.Select((_, i) => "s" + i)], [.. Numbers(file.GetProperty("chances"))],
            [.. Enumerable.Range(0, rows[0].Length).Select(t => new PlanAct("t" + (t + 1), 1, ["pass", "fail"],
                [.. rows.Select(r => r[t] == '0' ? ImmutableArray.Create(1.0, 0) : [0, 1.0])], []))], EndsWhenKnown: true);
    }

    [Fact]
    public void Six_states_are_told_apart_at_the_published_optimum()
    {
        var plan = LookAhead.Rank(Sequencing());
        Reference.Near(Values.GetProperty("sequencing").GetProperty("optimum"), plan.Expected, "expected tests");
        Assert.Equal("t2", plan.Acts[0].Act);
        Assert.True(plan.Whole);
        Reference.Near(Values.GetProperty("sequencing").GetProperty("optimum"), LookAhead.Follow(Sequencing()).Mean, "mean of following it");
    }

    [Fact]
    public void Mends_stand_in_the_order_of_chance_over_cost()
    {
        foreach (var file in Values.GetProperty("orders").EnumerateArray())
        {
            double[] p = Numbers(file.GetProperty("p")), c = Numbers(file.GetProperty("c"));
            var n = p.Length;
            var problem = new PlanProblem([.. p.Select((_, i) => "fault " + i), "works"], [.. p, 0],
                [.. c.Select((cost, i) => new PlanAct("mend " + i, cost, ["works", "fails"],
                    [.. Enumerable.Range(0, n + 1).Select(s => s == n ? ImmutableArray.Create(1.0, 0) : [0, 1.0])],
                    [.. Enumerable.Range(0, n + 1).Select(s => s == i ? n : s)], Ends: 0))]);
            var plan = LookAhead.Rank(problem);
            Reference.Near(file.GetProperty("optimum"), plan.Expected, "expected cost");
            Assert.Equal("mend " + Enumerable.Range(0, n).MaxBy(i => p[i] / c[i]), plan.Acts[0].Act);
        }
    }

    [Fact]
    public void Mend_and_check_comes_within_one_in_a_hundred_of_its_optimum()
    {
        var file = Values.GetProperty("mend");
        double[] test = Numbers(file.GetProperty("test")), hit = Numbers(file.GetProperty("badGivenBad")), miss = Numbers(file.GetProperty("badGivenGood"));
        var model = new MendModel(Numbers(file.GetProperty("p")), Numbers(file.GetProperty("replace")), file.GetProperty("system").GetDouble(),
            [.. test.Select((c, i) => (i, c, hit[i], miss[i]))]);
        Reference.Near(file.GetProperty("optimum"), model.Optimum(), "optimum by dynamic programming");
        var outlook = LookAhead.Follow(model.Pose());
        Assert.InRange(outlook.Mean, file.GetProperty("optimum")[0].GetDouble() - 1e-5, file.GetProperty("optimum")[0].GetDouble() * 1.01);
        Assert.Equal(file.GetProperty("first").GetString(), LookAhead.Rank(model.Pose()).Acts[0].Act);
        Assert.Equal(1, outlook.Costs.Sum(c => c.Probability), 1e-9);
        Reference.Near(file.GetProperty("deviation"), outlook.Deviation, "standard deviation");
        foreach (var line in file.GetProperty("distribution").EnumerateObject())
        {
            var cost = double.Parse(line.Name, CultureInfo.InvariantCulture);
            Assert.Equal(line.Value.GetDouble(), outlook.Costs.Where(c => Math.Abs(c.Cost - cost) < 1e-6).Sum(c => c.Probability), 5.1e-6);
        }
    }

    [Fact]
    public void Random_jobs_cost_at_most_a_twentieth_more_than_their_optimum()
    {
        int[] sites = [2, 3, 3, 4, 4, 5, 5, 6], tests = [2, 2, 4, 2, 4, 2, 3, 2];
        var ratios = new List<double>();
        for (var i = 0; i < 200; i++) Try(i, sites[i % 8], tests[i % 8]);
        for (var i = 0; Deep && i < 6; i++) Try(10_000 + i, 6, 6);
        Assert.True(ratios.Average() <= 1.05, $"mean ratio {ratios.Average():0.0000}, worst {ratios.Max():0.000}");
        Assert.True(ratios.Min() > 1 - 1e-9, $"below the optimum: {ratios.Min():R}");
        TestContext.Current.SendDiagnosticMessage($"mean ratio {ratios.Average():0.0000}, worst {ratios.Max():0.000}");

        void Try(int seed, int n, int m)
        {
            var model = MendModel.Random(seed, n, m);
            ratios.Add(LookAhead.Follow(model.Pose(), new PlanOptions(Depth: 2, Steps: 4000)).Mean / model.Optimum());
        }
    }

    [Fact]
    public void Gives_up_when_going_on_costs_more()
    {
        var model = new MendModel([0.5, 0.5], [500, 500], 5, []);
        Assert.True(LookAhead.Rank(model.Pose() with { GivingUp = 100 }).GiveUp);
        Assert.False(LookAhead.Rank(model.Pose() with { GivingUp = 2000 }).GiveUp);
    }

    [Fact]
    public void Says_how_far_it_looked_and_can_be_stopped()
    {
        var problem = MendModel.Random(7, 6, 6).Pose();
        var little = LookAhead.Rank(problem, new PlanOptions(Steps: 5));
        Assert.False(little.Whole);
        Assert.True(little.Depth < LookAhead.Rank(problem).Depth);
        using var stop = new CancellationTokenSource();
        stop.Cancel();
        Assert.Throws<OperationCanceledException>(() => LookAhead.Rank(problem, null, stop.Token));
        Assert.Contains("add up to 1", Assert.Throws<ArgumentException>(() => LookAhead.Rank(problem with { Chances = problem.Chances.SetItem(1, 0.9) })).Message);
    }

    /// <summary>Two looks behind one cover (7 to open): both are needed to tell three states apart, the cover is opened once. By hand: 7 + 1, and
    /// with chance 2/3 the second look for 1 more. With a way round that spares the opening for 5 the first look costs 5 + 1 in its place.</summary>
    [Fact]
    public void What_acts_share_is_paid_once_and_not_at_all_by_the_way_round()
    {
        ImmutableArray<ImmutableArray<double>> Tells(int which) => [.. Enumerable.Range(0, 3).Select(s => s == which ? ImmutableArray.Create(0, 1.0) : [1.0, 0])];
        PlanAct Look(string id, int which) => new(id, 1, ["no", "yes"], Tells(which), []) { Needs = [0] };
        var problem = new PlanProblem(["a", "b", "c"], [1.0 / 3, 1.0 / 3, 1.0 / 3], [Look("is it a", 0), Look("is it b", 1)], EndsWhenKnown: true) { Shared = [7] };
        Assert.Equal(7 + 1 + 2.0 / 3, LookAhead.Rank(problem).Expected, 1e-9);
        Assert.Equal(7 + 1 + 2.0 / 3, LookAhead.Follow(problem).Mean, 1e-9);
        var round = problem with { Acts = problem.Acts.Add(new PlanAct("round and is it a", 6, ["no", "yes"], Tells(0), []) { Settles = [0] }) };
        var plan = LookAhead.Rank(round);
        Assert.Equal("round and is it a", plan.Acts[0].Act);
        Assert.Equal(6 + 2.0 / 3, plan.Expected, 1e-9);
        Assert.Equal(("is it b", 1.0), plan.Then["round and is it a"].Where(t => t.Outcome == "no").Select(t => (t.Next, Math.Round(t.Expected, 9))).Single());
        Assert.Contains("shared cost that is not there", Assert.Throws<ArgumentException>(() => LookAhead.Rank(problem with { Shared = [] })).Message);
    }

    /// <summary>A look that is spent tells anew once something was changed: mend (10), look (1) and only then prove (20), against proving blind. By hand, with
    /// two faults of even chance and one of them there: the first mend cures 1 in 2; looking after it saves a failed proof for 1.</summary>
    [Fact]
    public void A_look_tells_anew_after_a_mend()
    {
        // States: fault a, fault b, good.
        ImmutableArray<ImmutableArray<double>> sure = [[1.0], [1.0], [1.0]], works = [[0.0, 1], [0.0, 1], [1.0, 0]];
        var problem = new PlanProblem(["a", "b", "good"], [0.5, 0.5, 0],
            [new("mend a", 10, ["done"], sure, [2, 1, 2]), new("mend b", 10, ["done"], sure, [0, 2, 2]),
             new("look", 1, ["works", "fails"], works, []) { Renewed = true }, new("prove", 20, ["passed", "failed"], works, [], Ends: 0, Once: false)]);
        // Mend a, look: works (1/2) and prove; or mend b and prove. The look before any mend would tell nothing.
        Assert.Equal(10 + 1 + 0.5 * 20 + 0.5 * (10 + 20), LookAhead.Rank(problem).Expected, 1e-9);
        // Spent once for all, after a mend it still has not been used: the same.
        Assert.Equal(36, LookAhead.Follow(problem).Mean, 1e-9);
    }
}
