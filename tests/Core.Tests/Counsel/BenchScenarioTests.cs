using System.Collections.Immutable;
using Bellwire.Counsel;
using Bellwire.Sheets;
using Bellwire.Workshop;
using Core.Tests.Sheets;

namespace Core.Tests.Counsel;

/// <summary>Cases every bench knows come out as a technician would say (common practice, no source).</summary>
public class BenchScenarioTests
{
    private static readonly TypeSheet Sheet = ShippedFiles.Read("corridor-nine");
    private static readonly ImmutableDictionary<string, string> None = ImmutableDictionary<string, string>.Empty;

    private static readonly Act[] OnTheBench =
    [
        new PieceRecorded("d1", "display", "Display", "owner:case", "case", "bench", null, null),
        new PieceRecorded("d9", "display", "Display 9", "shop", null, "shelf", null, null, KnownGood: true),
        new SystemSetUp("set", "case", "corridor-nine", None.Add("display", "d1")),
    ];

    private static Act[] UnderPower(Act read) => [new Powered("case", "set", "limited", null), read, new Unpowered("case", "set")];

    [Fact]
    public void A_swap_that_cures_and_a_refit_that_works_is_the_connector()
    {
        var advice = Advise(Case([new OwnerTold("case", Clock("garbled").Check, "garbled", null), .. OnTheBench, Clock("garbled"),
            new Pulled("case", "d1", "set", "display", null), new Fitted("case", "d9", "set", "display"), Clock("good"),
            new Pulled("case", "d9", "set", "display", null), new Fitted("case", "d1", "set", "display"), Clock("good")]));
        Assert.Null(advice.Clash);
        double connector = WasFaulty("set/display.contact"), piece = advice.Suspects.FirstOrDefault(s => s.Key == "d1")?.Probability ?? 0;
        Assert.True(connector > 0.5, $"the connector was at fault: {connector}");
        Assert.True(piece < 0.1, $"the display itself: {piece}");

        double WasFaulty(string site) => Posterior.Sites.Single(s => s.Site.ToString() == site) is var b ? 1 - b.Original.GetValueOrDefault("good") : 0;
    }

    [Fact]
    public void A_set_dead_at_home_and_good_on_the_bench_leaves_the_odds_in_the_house()
    {
        var advice = Advise(Case([new OwnerTold("case", "told-life", "dead", null), OnTheBench[0], OnTheBench[2],
            .. Sheet.Functions.Select(f => Sheet.Checks.First(c => c.Id == f.Check))
                .Select(c => (Act)new Checked("case", "set", c.Id, c.Outcomes[0], c.Throws, None, null))]));
        Assert.Null(advice.Clash);
        var likeliest = Assert.Single(Posterior.MostProbable[0].Faults);
        Assert.Equal(("house-feed", "off"), (likeliest.Site.Position, likeliest.Mode));
        Assert.Equal(("set/house-feed", "in the house"), (advice.Suspects[0].Key, advice.Suspects[0].Where));
        Assert.All(advice.Suspects.Skip(1), s => Assert.True(s.Probability * 3 < advice.Suspects[0].Probability, $"{s.Name}: {s.Probability}"));
    }

    [Fact]
    public void The_last_good_one_is_refused_however_good_the_rails_and_a_reason_carries_it()
    {
        var posed = Case([.. OnTheBench, new Pulled("case", "d1", "set", "display", null), .. UnderPower(Read("rail-5", 5.02)), Read("reservoir-rest", 0.1)]);
        var refused = GateKeeper.Check(posed.State, "case", Sheet, new Fitted("case", "d9", "set", "display"));
        Assert.False(refused.Allowed);
        Assert.True(refused.Overridable);
        Assert.Equal("last-good", Assert.Single(refused.Bars).Gate);
        Assert.True(GateKeeper.Check(posed.State, "case", Sheet, new Fitted("case", "d9", "set", "display", "owner pays for it")).Allowed);
    }

    [Fact]
    public void A_good_piece_goes_in_only_on_rails_read_within_limits_since_the_last_change()
    {
        Act second = new PieceRecorded("d8", "display", "Display 8", "shop", null, "shelf", null, null, KnownGood: true);
        Act[] bare = [.. OnTheBench, second, new Pulled("case", "d1", "set", "display", null)];
        Act fit = new Fitted("case", "d9", "set", "display"), empty = Read("reservoir-rest", 0.1), five = Read("rail-5", 5.02);
        Assert.False(Allowed([.. bare]));
        Assert.False(Allowed([.. bare, .. UnderPower(five)]));
        Assert.False(Allowed([.. bare, .. UnderPower(Read("rail-5", 7.9)), empty]));
        Assert.True(Allowed([.. bare, .. UnderPower(five), empty]));
        Assert.False(Allowed([.. OnTheBench, second, .. UnderPower(five), empty, new Pulled("case", "d1", "set", "display", null)]));

        bool Allowed(Act[] acts) => GateKeeper.Check(Case(acts).State, "case", Sheet, fit).Allowed;
    }

    [Fact]
    public void First_power_wants_ohms_and_then_a_limited_feed()
    {
        Act line = new Powered("case", "set", "line", 120);
        Assert.False(GateKeeper.Check(Case(OnTheBench).State, "case", Sheet, line).Allowed);
        Assert.False(GateKeeper.Check(Case([.. OnTheBench, Read("raw-ohms", 12, "ohm"), new GateAnswered("case", "set", "limited-feed", true, null, null, null)]).State, "case", Sheet, line).Allowed);
        Act[] safe = [.. OnTheBench, Read("raw-ohms", 900, "ohm"), new GateAnswered("case", "set", "limited-feed", true, null, null, null)];
        Assert.False(GateKeeper.Check(Case(safe).State, "case", Sheet, line).Allowed);
        Assert.True(GateKeeper.Check(Case(safe).State, "case", Sheet, new Powered("case", "set", "limited", null)).Allowed);
        Assert.True(GateKeeper.Check(Case([.. safe, new Powered("case", "set", "limited", null)]).State, "case", Sheet, line).Allowed);
    }

    [Fact]
    public void The_ladder_keeps_the_reading_as_received_and_asks_again_after_a_change()
    {
        var first = Case([.. OnTheBench, Read("rail-5", 4.1), Read("rail-5", 5.0)]);
        var five = RailLadder.Of(first.State, "case", Sheet).Single(r => r.Point.Id == "rail-5");
        Assert.Equal((4.1, 5.0, "within"), (five.AsReceived, five.Now, five.Word));
        var changed = Case([.. OnTheBench, Read("rail-5", 4.1), new Pulled("case", "d1", "set", "display", null)]);
        five = RailLadder.Of(changed.State, "case", Sheet).Single(r => r.Point.Id == "rail-5");
        Assert.Equal((4.1, null, "read again"), (five.AsReceived, five.Now, five.Word));
        Assert.Equal(["low", "within", "within", "high"], new[] { 4.74, 4.75, 5.25, 5.26 }.Select(v => RailLadder.Word(five.Point, v)));
    }

    private Bellwire.Reasoning.Posterior Posterior { get; set; } = null!;

    private Advice Advise(Posed posed)
    {
        var weighed = Counsellor.Weigh(posed.State, posed.Job, Sheet);
        Posterior = weighed.Weighing.Posterior!;
        return Counsellor.Advise(posed.State, posed.Job, Sheet, _ => null, null, weighed);
    }

    private static Checked Clock(string outcome) => new("case", "set", Sheet.Functions.First(f => f.Id == "clock").Check, outcome, None, None, null);

    private static ReadingTaken Read(string point, double value, string quantity = "volt-dc") =>
        new("case", "set", point, quantity, value, value.ToString(System.Globalization.CultureInfo.InvariantCulture), None);

    private static Posed Case(params Act[] acts)
    {
        Act[] all = [new JobOpened("case", new Personal("none"), Sheet.Id, Sheet.Hash, new SetOutline(Sheet.Era, Sheet.Feed, 3, 2, [])), .. acts];
        var lines = all.Select(a => $"{{\"kind\": \"{ActKinds.NameOf(a)}\", \"act\": {ActKinds.Write(a)}}}");
        var read = CaseFile.Read($$"""{"job": "case", "acts": [{{string.Join(",", lines)}}]}""");
        return new(read.State ?? throw new InvalidOperationException(read.Complaint), "case");
    }

    private sealed record Posed(ShopState State, string Job);
}
