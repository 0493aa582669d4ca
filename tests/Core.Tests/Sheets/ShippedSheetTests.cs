using Bellwire.Sheets;
using Bellwire.Sheets.Generic;

namespace Core.Tests.Sheets;

public class ShippedSheetTests
{
    private static readonly Outline Usual = new("microprocessor", "centre-tapped", 3, 2, ["tuner", "clock", "chime"]);

    private static TypeSheet Family => SheetLibrary.Of().Find("corridor-nine", Usual)!;

    [Fact]
    public void Every_shipped_text_reads()
    {
        foreach (var (name, text) in ShippedSheets.Texts)
            Assert.Equal("", string.Join("\n", SheetReader.Read(text, name).Lines(name)));
    }

    /// <summary>50/30/14/6 % and 8–12 % no fault found: common practice, no source (estimates).</summary>
    [Theory]
    [InlineData("corridor-nine")]
    [InlineData("generic")]
    public void The_number_of_faults_follows_the_profile(string id)
    {
        var p = SheetLibrary.Of().Find(id, Usual)!.Profile;
        Assert.InRange(p.One, 0.47, 0.53);
        Assert.InRange(p.Two, 0.27, 0.33);
        Assert.InRange(p.Three, 0.11, 0.17);
        Assert.InRange(p.More, 0.04, 0.085);
        Assert.InRange(p.NothingLasting, 0.08, 0.12);
    }

    [Fact]
    public void The_generic_model_is_cut_to_any_outline_and_says_its_odds_are_general()
    {
        foreach (var era in Outline.Eras)
            foreach (var feed in Outline.Feeds)
                foreach (var (rooms, doors) in new[] { (0, 0), (1, 0), (3, 2), (40, 9) })
                {
                    var sheet = GenericSheet.For(new(era, feed, rooms, doors, rooms == 3 ? ["tuner", "cassette", "clock", "chime"] : []));
                    Assert.True(sheet.GeneralOdds);
                    Assert.Equal(rooms, sheet.Positions.Count(p => p.Kind == "station"));
                    Assert.Equal(rooms == 3, sheet.Positions.Any(p => p.Id == "cassette"));
                }
    }

    [Fact]
    public void Tube_sets_get_the_lamp_and_others_a_limited_feed()
    {
        Assert.Contains(GenericSheet.For(new("tube", "unknown", 2, 1, [])).Gates, g => g.Id == "lamp-feed");
        Assert.DoesNotContain(GenericSheet.For(new("microprocessor", "centre-tapped", 2, 1, [])).Gates, g => g.Id == "lamp-feed");
    }

    [Fact]
    public void The_library_finds_by_id_and_refuses_what_does_not_read()
    {
        var library = SheetLibrary.Of(("small.yaml", SmallSheet.Text), ("bad.yaml", "bellwire: 2"));
        Assert.Equal("small", library.Find("small", Usual)!.Id);
        Assert.Equal("unknown-set", library.Find(null, Usual)!.Id);
        Assert.Null(library.Find("corridor-nin", Usual));
        Assert.Equal("corridor-nine", library.NearestId("corridor-nin"));
        Assert.Equal(["bad.yaml"], library.Refused.Keys);
    }

    /// <summary>The family's healthy raw volts and ripple against a time-stepped full-wave rectifier with the constants its own notes state.</summary>
    [Fact]
    public void The_supply_shows_what_its_own_transformer_gives()
    {
        var text = ShippedSheets.Texts.Single(t => t.FileName == "corridor-nine.yaml").Text;
        double Note(string key) => double.Parse(System.Text.RegularExpressions.Regex.Match(text, key + @": ([0-9.]+)").Groups[1].Value, System.Globalization.CultureInfo.InvariantCulture);
        var (mean, ripple) = Rectified(Note("half-open-circuit-volts"), Note("half-source-ohms"), Note("reservoir-farads"), Note("idle-amperes"), Note("diode-volts"), Note("line-hertz"));
        Assert.Equal(mean, Family.Points.Single(p => p.Id == "raw").Nominal!.Value, 0.1);
        Assert.Equal(ripple, Family.Points.Single(p => p.Id == "raw-ripple").Nominal!.Value, 0.05);
        Assert.InRange(mean, 16, 19); // reference/trade: raw 16–19 V DC, ripple 0.5–1 Vpp at idle
        Assert.InRange(ripple, 0.5, 1.0);
    }

    private static (double Mean, double Ripple) Rectified(double volts, double ohms, double farads, double amperes, double diode, double hertz)
    {
        const int steps = 2000, cycles = 40;
        double dt = 1 / hertz / steps, v = 15, low = 1e9, high = 0, sum = 0;
        for (var k = 0; k < steps * cycles; k++)
        {
            var source = Math.Abs(volts * Math.Sqrt(2) * Math.Sin(2 * Math.PI * hertz * k * dt));
            v += (Math.Max(0, (source - diode - v) / ohms) - amperes) / farads * dt;
            if (k < steps * (cycles - 4)) continue;
            (low, high, sum) = (Math.Min(low, v), Math.Max(high, v), sum + v);
        }

        return (sum / (steps * 4), high - low);
    }

    [Fact]
    public void Six_readings_make_the_rail_ladder() =>
        Assert.Equal(["ac-ends", "fuse-drop", "raw", "raw-ripple", "rail-12", "rail-5"], Family.Points.Where(p => p.Ladder > 0).OrderBy(p => p.Ladder).Select(p => p.Id));
}
