using System.Collections.Immutable;
using Bellwire.Counsel;
using Bellwire.Reasoning;
using Bellwire.Sheets;
using Bellwire.Workshop;
using Core.Tests.Sheets;

namespace Core.Tests.Counsel;

/// <summary>The order of a proof against published orders of tests: with exactly one fault (Kadane and Simon 1977, the values of Kalagnanam and Henrion 1990 as
/// reference/check-values-diagnosis.md has them), and with steps that fail independently (Mitten 1960, from memory) against every order there is.</summary>
public class ProofOrderTests
{
    private static readonly TypeSheet Sheet = ShippedFiles.Read("corridor-nine");

    /// <summary>A world for each twentieth; a step fails in the worlds of its own fault and in no other.</summary>
    private static ImmutableArray<(double, ImmutableArray<double>)> OneFault(double[] minutes, int[] twentieths)
    {
        var fault = twentieths.SelectMany((n, i) => Enumerable.Repeat(i, n)).ToList();
        return [.. minutes.Select((m, i) => (m, fault.Select(f => f == i ? 0.0 : 1).ToImmutableArray()))];
    }

    [Theory]
    [InlineData(new[] { 20.0, 5, 8, 2, 4 }, new[] { 6, 5, 4, 3, 2 }, 18.65)]
    [InlineData(new[] { 10.0, 2, 1 }, new[] { 10, 6, 4 }, 7.6)]
    public void With_exactly_one_fault_it_takes_the_minutes_of_the_published_order(double[] minutes, int[] twentieths, double expected)
    {
        var series = ProofOrder.Series(OneFault(minutes, twentieths));
        Assert.Equal(expected, series.Minutes, 1e-9);
        Assert.Equal(1, series.Fails, 1e-9);
        Assert.Equal(1, series.Order[^1].Fails, 1e-9);
    }

    [Theory]
    [InlineData(1)]
    [InlineData(2)]
    [InlineData(3)]
    public void Where_steps_fail_independently_no_order_takes_fewer_minutes(int seed)
    {
        var random = new Random(seed);
        var steps = Enumerable.Range(0, 6).Select(_ => (Minutes: 1 + 10 * random.NextDouble(), Passes: random.NextDouble())).ToList();
        double Spent(IEnumerable<int> order)
        {
            double reached = 1, minutes = 0;
            foreach (var i in order)
            {
                minutes += reached * steps[i].Minutes;
                reached *= steps[i].Passes;
            }
            return minutes;
        }

        var series = ProofOrder.Series([.. steps.Select(s => (s.Minutes, ImmutableArray.Create(s.Passes)))]);

        Assert.Equal(Orders([.. Enumerable.Range(0, 6)]).Min(o => Spent(o)), Spent(series.Order.Select(o => o.At)), 1e-9);
        Assert.Equal(1 - steps.Aggregate(1.0, (q, s) => q * s.Passes), series.Fails, 1e-9);
    }

    private static IEnumerable<ImmutableArray<int>> Orders(ImmutableArray<int> of) =>
        of.Length <= 1 ? [of] : of.SelectMany(first => Orders(of.Remove(first)).Select(rest => rest.Insert(0, first)));

    [Fact]
    public void What_was_found_dead_is_tried_first_and_the_proof_fails_almost_at_once()
    {
        var fresh = Proof();
        var found = Proof(("fn-am", "dead"), ("fn-fm", "good"), ("fn-aux", "good"), ("fn-keys", "good"), ("fn-room-1", "good"));

        Assert.Equal("am", found.Steps[0].Step);
        // One look by ear that errs one time in fourteen, of what seldom fails: likelier than not, no more.
        Assert.InRange(found.Steps[0].Fails, 0.5, 0.9);
        Assert.InRange(found.Fails, found.Steps[0].Fails, 1);
        Assert.InRange(found.MinutesIfItFails, Sheet.Proof.First(s => s.Id == "am").Minutes - 1e-9, fresh.MinutesIfItFails);
        Assert.Equal(Sheet.Proof.Select(s => s.Id).Order(), found.Steps.Select(s => s.Step).Order());
        Assert.Equal(1 - found.Steps.Aggregate(1.0, (q, s) => q * (1 - s.Fails)), found.Fails, 1e-6);
    }

    [Fact]
    public void A_set_that_is_switched_off_is_proved_under_power_all_the_same()
    {
        var (on, off) = (BenchedSet.After(Sheet, []).Proof, BenchedSet.After(Sheet, [new Unpowered("J", "S")]).Proof);
        Assert.Equal(on.Fails, off.Fails, 0.05);
        Assert.InRange(off.Fails, 0.3, 0.9);
        Assert.InRange(off.Steps.First(s => s.Step == "presets").Fails, 0, 0.3);
    }

    [Fact]
    public void What_was_tried_stays_before_what_is_next_then_what_failed_before_then_what_may_fail()
    {
        var w = BenchedSet.Of(Sheet, "limited", []);
        foreach (var seen in new[] { ("fn-am", "dead"), ("fn-fm", "good"), ("fn-aux", "good") }) w.Must(BenchedSet.Saw(Sheet, seen.Item1, seen.Item2));
        w.Must(new Proved("J", "tone", "failed", null, null, null));
        w.Must(new Mended("J", "J-audio", null, null, "chip", "chip changed", 0.9, 45));
        w.Must(new Proved("J", "mutes", "shown", null, null, null));
        w.Must(new Proved("J", "aux", "shown", null, null, null));
        var proof = BenchedSet.Advise(w, Sheet).Proof;

        var steps = proof.Arrange(ProofPlan.Of(w.State, "J", Sheet));

        Assert.Equal(["mutes", "aux", "tone"], steps.Take(3).Select(s => s.Line.Step.Id));
        var may = steps.Skip(3).TakeWhile(s => s.MayFail is not null).ToList();
        Assert.Contains("am", may.Select(s => s.Line.Step.Id));
        Assert.Equal(proof.Steps.Select(s => s.Step).Where(may.Select(m => m.Line.Step.Id).Contains), may.Select(m => m.Line.Step.Id));
        Assert.All(steps.Skip(3 + may.Count), s => Assert.Null(s.MayFail));
        var rest = steps.Skip(3 + may.Count).Select(s => s.Line.Step.Id).ToList();
        Assert.Equal(Sheet.Proof.Select(s => s.Id).Where(rest.Contains), rest);
    }

    [Fact]
    public void Two_looks_come_out_well_together_as_often_as_one_does_and_the_other_after_it()
    {
        var w = BenchedSet.Of(Sheet, "limited", []);
        var before = Counsellor.Weigh(w.State, "J", Sheet);
        w.Must(BenchedSet.Saw(Sheet, "fn-aux", "good"));
        var after = Counsellor.Weigh(w.State, "J", Sheet);
        (Move, string) Look(string id, Weighed of)
        {
            var check = Sheet.Checks.First(c => c.Id == id);
            return (new Move(id, of.Built.System, [], false, Candidates.SettingFor(Sheet, check, of.Built), Sheet.TargetOf(check, of.Built.Maps[of.Built.System], of.Built.System)!, check.Matrix), check.Outcomes[0]);
        }

        var together = Together.Of(before.Weighing, [Look("fn-aux", before), Look("fn-room-1", before)]);
        var then = after.Weighing.Try([Look("fn-room-1", after).Item1])[0].Outcomes["good"];

        var (aux, both) = (together[0].Average(), together[0].Zip(together[1], (a, b) => a * b).Average());
        // Four standard errors of a share drawn from as many worlds.
        var error = 4 * Math.Sqrt(0.25 / together[0].Length);
        Assert.InRange(both, aux * then - error, aux * then + error);
        // They hang together: the one being good speaks for the other by more than lots could.
        Assert.True(both > aux * together[1].Average() + error / 4, $"{both} beside {aux * together[1].Average()}");
    }

    private static ProofOrder Proof(params (string Check, string Outcome)[] seen) => BenchedSet.After(Sheet, [.. seen.Select(s => BenchedSet.Saw(Sheet, s.Check, s.Outcome))]).Proof;
}
