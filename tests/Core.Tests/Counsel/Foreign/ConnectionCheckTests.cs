using System.Collections.Immutable;
using Bellwire.Circuits.Shapes;
using Bellwire.Counsel;
using Bellwire.Counsel.Mends;
using Bellwire.Sheets;
using Core.Tests.Mends;
using Core.Tests.Sheets;

namespace Core.Tests.Counsel.Foreign;

/// <summary>"May this be connected" with a circuit beside it.</summary>
public class ConnectionCheckTests
{
    private static readonly TypeSheet Nine = ShippedFiles.Read("corridor-nine");
    private static readonly MayConnectSum Sum = (MayConnectSum)Calculation.Of("may-connect")!;

    private static Given Given(params (string Id, string Value)[] typed)
    {
        var (given, wrong) = Sum.Read(id => typed.FirstOrDefault(t => t.Id == id).Value);
        Assert.Empty(wrong);
        return given;
    }

    private static ConnectionTrial Trial(Given given)
    {
        var (trial, wrong) = ConnectionCheck.Asked(given, [Nine]);
        Assert.Empty(wrong);
        return trial!;
    }

    private static (Finding Finding, ImmutableArray<ForeignOutcome> Outcomes) Ask(params (string Id, string Value)[] typed)
    {
        var given = Given([("terminal", "corridor-nine/door-1"), .. typed]);
        var trial = Trial(given);
        ImmutableArray<ForeignOutcome> all = [.. trial.Sources.Select(s => ForeignTrial.Try(trial.Sheet, trial.Place.Circuit, trial.Place.From, trial.Place.To, s))];
        return (ConnectionCheck.Answer(given, trial, all), all);
    }

    [Fact]
    public void A_chime_transformer_on_a_door_is_refused_with_what_it_hurts_and_by_how_much()
    {
        var (finding, all) = Ask(("what", "chime"), ("where", "door"));
        Assert.Equal("No.", finding.Says);
        // Common practice, no source: 16 V AC on a door line takes the door input.
        Assert.Contains("Intercom board: door input", Assert.Single(all).Places);
        Assert.Contains("on paper: First capacitor CD1", finding.Why[0], StringComparison.Ordinal);
        // The ratio told is that of the worst strain: volts the wrong way round on an electrolytic that bears 1.5 V.
        Assert.Contains("the wrong way round (1.5 V allowed)", finding.Why[0], StringComparison.Ordinal);
    }

    [Fact]
    public void Direct_volts_are_tried_both_ways_round_until_both_ends_were_measured()
    {
        Assert.Equal([false, true], Trial(Given(("terminal", "corridor-nine/door-1"), ("volts", "12 V DC 0.5 ohm"))).Sources.Select(s => s.Reversed));
        Assert.Equal([true], Trial(Given(("terminal", "corridor-nine/door-1"), ("volts", "12 V DC 0.5 ohm reversed"), ("read", "yes"))).Sources.Select(s => s.Reversed));
        Assert.Equal([false], Trial(Given(("terminal", "corridor-nine/door-1"), ("volts", "12 V AC"))).Sources.Select(s => s.Reversed));
        // One way round hurts nothing that is judged, the other does: not knowing which, the answer is no.
        var (finding, all) = Ask(("what", "station"), ("where", "door"), ("volts", "12 V DC 0.5 ohm"));
        Assert.Equal([true, false], all.Select(o => o.Hurt.IsEmpty));
        Assert.Equal("No.", finding.Says);
    }

    [Fact]
    public void Nothing_hurt_on_paper_is_never_a_yes_and_says_how_near_it_came()
    {
        var (finding, all) = Ask(("what", "station"), ("where", "door"), ("powered", "unknown"), ("read", "yes"), ("volts", "6 V DC 100 ohm"));
        Assert.Empty(Assert.Single(all).Hurt);
        Assert.StartsWith("Not known", finding.Says, StringComparison.Ordinal);
        Assert.Contains("no leave", finding.Why[0], StringComparison.Ordinal);
        Assert.Matches(@"Nearest to what it bears is .+, at \d+ % of its (watts|volts|amperes)", finding.Why[0]);
        Assert.Contains(finding.Cautions, c => c.Contains("not from this set", StringComparison.Ordinal));
    }

    [Fact]
    public void The_margin_is_the_share_of_the_worst_rating()
    {
        // By hand: 6 V behind 100 Ω and 1 kΩ on a quarter-watt: (6/1100)²·1000 = 29.75 mW, 11.9 % of 250 mW.
        var text = SmallSheet.Text + "\ncircuits:\n  line:\n    words: Line\n    parts:\n      R1: {resistor: [line, common], is: 1 kohm, watts: 0.25 W, joules: 1 J}\n    terminals: {t1: [line, common]}\n    troubles:\n      - R1 open when amp.chip dead\n";
        var sheet = SheetReader.Read(text, "s.yaml").Sheet!;
        var tried = ForeignTrial.Try(sheet, sheet.Circuits.Single(), "line", "0", ForeignSource.Parse("6 V DC 100 ohm", out _)!);
        Assert.Equal("Nearest to what it bears is resistor R1, 1 kΩ, at 12 % of its watts.", tried.Margin);
    }

    [Fact]
    public void What_the_sum_refuses_stays_refused_whatever_the_circuit_bears()
    {
        Assert.Equal("No.", Ask(("what", "telephone"), ("where", "door"), ("volts", "1 V DC 1000 ohm")).Finding.Says);
        // A design rule of safety: more than touch may bear is no connection to be judged by parts.
        var line = Ask(("what", "station"), ("where", "room"), ("powered", "no"), ("volts", "60 V AC 1M ohm"));
        Assert.Equal("No.", line.Finding.Says);
        Assert.Contains(line.Finding.Why, w => w.Contains("touch", StringComparison.Ordinal));
    }

    /// <summary>Rule 13 of design/safety over every answer of the sum, for outcomes with and without harm, and for circuits that find no solution.</summary>
    [Fact]
    public void Every_answer_is_no_or_not_known()
    {
        var asks = Sum.Asks.OfType<ChoiceAsk>().ToList();
        var all = asks.Aggregate(Enumerable.Repeat(Given(("terminal", "corridor-nine/door-1")), 1), (so, ask) => so.SelectMany(g => ask.Options.Select(o => g.With(ask, o.Value)))).ToList();
        foreach (var given in all)
        {
            var trial = Trial(given);
            foreach (var (hurt, failure) in new[] { (false, (string?)null), (true, null), (false, "it sticks") })
            {
                var outcomes = trial.Sources.Select(s => new ForeignOutcome("doors", "line1", "0", s, hurt ? [new("R", "resistor R", [], [], [], 0)] : [], 0, failure)).ToList();
                var finding = ConnectionCheck.Answer(given, trial, outcomes);
                Assert.True(finding.Says == "No." || finding.Says.StartsWith("Not known", StringComparison.Ordinal), finding.Says);
                Assert.Equal(Judgement.NoAdvice, finding.Judgement);
                if (hurt && outcomes.Count > 0) Assert.Equal("No.", finding.Says);
                if (Sum.Answer(given).Says == "No.") Assert.Equal("No.", finding.Says);
            }
        }
    }

    [Theory]
    [InlineData("terminal", "corridor-nine/dor-1", "there is no “corridor-nine/dor-1”; there are ")]
    [InlineData("volts", "24", "“24” is no source. Write volts, AC or DC and its own ohms")]
    public void A_slip_is_answered_at_its_field(string field, string typed, string said)
    {
        var (trial, wrong) = ConnectionCheck.Asked(Given((field, typed)), [Nine]);
        Assert.Null(trial);
        Assert.Contains(said, Assert.Single(wrong).Value, StringComparison.Ordinal);
        Assert.Equal(field, wrong.Keys.Single());
    }

    [Fact]
    public void A_supply_by_its_shape_is_tried_too()
    {
        // 13 V beside a tap: 18 V on raw at most. 24 V AC on raw stands a 35 V reservoir on −34 V through nothing: the rectifiers clamp it
        // and the fuse is in the tap, outside the loop; 48 V DC is past the reservoir's working volts by 48/35.
        var supply = new SupplyShape(RectifierKind.CentreTap, new(13) { VoltAmperes = 40, RegulationPercent = 12 }, new(3300e-6) { WorkingVolts = 35 })
        {
            Diodes = Markings.Diode("1N4002")!, Fuse = new(FusePlace.Tap, 2), Stages = [Markings.Regulator("7812")!.For("r12")], Loads = [new("r12") { Amperes = 0.2 }],
        }.Build().Required;
        var (tied, wrong) = SupplyConnection.Read(supply, id => id == "foreignat" ? "raw" : "48 V DC 0.5 ohm");
        Assert.Empty(wrong);
        Assert.Equal([false, true], tied!.Value.Sources.Select(s => s.Reversed));
        var right = ForeignTrial.Try(null, tied.Value.Place.Circuit, tied.Value.Place.From, tied.Value.Place.To, tied.Value.Sources[0]);
        var reservoir = right.Hurt.Single(h => h.Part == "C1").Strains.Single(s => s.What == Bellwire.Circuits.Strain.Volts);
        Assert.Equal(48 / 35.0, reservoir.Ratio, 0.02);
        Assert.Contains("foreignat", SupplyConnection.Read(supply, id => id == "foreignat" ? "rail3" : "").Wrong.Keys);
        Assert.Contains("foreign", SupplyConnection.Read(supply, id => id == "foreignat" ? "raw" : "lots").Wrong.Keys);
        Assert.Null(SupplyConnection.Read(supply, _ => "").Tied);
    }
}
