using Bellwire.Reasoning;
using Bellwire.Sheets;

namespace Core.Tests.Sheets;

public class SheetReaderTests
{
    private static TypeSheet Read(string text)
    {
        var result = SheetReader.Read(text, "small.yaml");
        Assert.True(result.IsGood, string.Join("\n", result.Lines("small.yaml")));
        return result.Sheet!;
    }

    [Fact]
    public void A_small_sheet_is_read()
    {
        var sheet = Read(SmallSheet.Text);
        Assert.Equal(["supply", "amp", "tuner", "station-1", "station-2"], sheet.Positions.Select(p => p.Id));
        Assert.Equal((3, 3), (sheet.Positions[4].X, sheet.Positions[4].Y));
        Assert.Equal(["station-1", "station-2"], sheet.Positions[1].FeedsTo);
        Assert.DoesNotContain(sheet.Family.Kinds, k => k.Id == "cassette");
        Assert.Equal(64, sheet.Hash.Length);
        Assert.Equal(["quiet", "hums"], sheet.Checks.Single(c => c.Id == "hum").Outcomes);
        Assert.Equal("Does it hum?", sheet.OwnerChecks["hum"]);
        Assert.Equal(["fn-fm", "fn-aux"], sheet.Functions.Select(f => f.Check));
    }

    [Fact]
    public void Rules_keep_their_order_and_what_a_signal_passes_through_frames_them()
    {
        var sound = Read(SmallSheet.Text).Family.Signals.Single(s => s.Id == "sound");
        Assert.Equal(["dead", "dead", "dead", "hum", "?"], sound.Rules.Select(r => r.Then));
        Assert.Equal(["sound#1", "sound#2", "sound#3", "sound#4", "sound#5"], sound.Rules.Select(r => r.Id));
        Assert.Equal(0.8, sound.Rules[3].Chance);
        var gone = Assert.IsType<Condition.Any>(sound.Rules[0].When);
        Assert.Contains(new Condition.Empty("amp"), gone.Of);
        var reservoir = Assert.IsType<Condition.SiteIn>(sound.Rules[3].When);
        Assert.Equal(("supply", "reservoir", "dry"), (reservoir.Position, reservoir.Site, reservoir.Modes.Single()));
    }

    [Fact]
    public void And_binds_tighter_than_or_and_not_tighter_still()
    {
        var text = SmallSheet.Text.Replace("- dead when feed off", "- dead when feed off or not regulator open and warm", StringComparison.Ordinal);
        var rule = Read(text).Family.Signals.Single(s => s.Id == "rail").Rules[1];
        var or = Assert.IsType<Condition.Any>(rule.When);
        var and = Assert.IsType<Condition.All>(or.Of[1]);
        Assert.IsType<Condition.Not>(and.Of[0]);
        Assert.Equal("warmth", Assert.IsType<Condition.Circumstance>(and.Of[1]).Name);
    }

    [Fact]
    public void Rules_about_what_the_set_lacks_are_skipped()
    {
        var without = Read(SmallSheet.Text.Replace("has: [tuner]", "has: []", StringComparison.Ordinal));
        Assert.DoesNotContain(without.Positions, p => p.Id == "tuner");
        var fm = without.Family.Signals.Single(s => s.Id == "fm");
        Assert.All(fm.Rules, r => Assert.IsType<Condition.SignalIn>(r.When));
    }

    [Fact]
    public void Rules_are_generated_from_needs()
    {
        var aux = Read(SmallSheet.Text).Family.Signals.Single(s => s.Id == "fn-aux");
        Assert.Equal(["dead", "dead", "dead", "?"], aux.Rules.Select(r => r.Then));
    }

    [Theory]
    [InlineData(3.0, 0.1)]
    [InlineData(1.0, 0.3)]
    public void Causes_multiply_risks(double times, double prior)
    {
        var text = SmallSheet.Text.Replace("age: x3", $"age: x{times:0.#}", StringComparison.Ordinal).Replace("prior: 0.3", $"prior: {prior:0.0#}", StringComparison.Ordinal);
        var dry = Read(text).Family.Kinds.Single(k => k.Id == "supply").Sites.Single(s => s.Id == "reservoir").Modes.Single();
        var own = -Math.Log(1 - dry.BaseOdds);
        Assert.Equal((times - 1) * own, -Math.Log(1 - dry.ByCause["age"]), 1e-12);
    }

    [Fact]
    public void A_matrix_adds_up_for_every_state()
    {
        foreach (var check in Read(SmallSheet.Text).Checks)
            foreach (var matrix in new[] { check.Matrix, check.OwnerMatrix }.OfType<System.Collections.Immutable.ImmutableDictionary<string, System.Collections.Immutable.ImmutableDictionary<string, double>>>())
                foreach (var state in matrix.Values.SelectMany(r => r.Keys).Distinct())
                    Assert.Equal(1.0, matrix.Values.Sum(r => r[state]), 1e-12);
    }
}
