using System.Collections.Immutable;
using Bellwire.Sheets;
using Bellwire.Sheets.Growing;
using YamlDotNet.RepresentationModel;

namespace Core.Tests.Sheets;

/// <summary>What grows into a sheet is all that changes in it.</summary>
public class SheetGrowerTests
{
    private static readonly string Text = File.ReadAllText(Path.Combine(ShippedFiles.Folder, "corridor-nine.yaml"));
    private static readonly Growth Pin = new("points", "u3-pin-5", [("words", "U3 pin 5: \"mute\" line, {odd}"), ("quantity", "volt-dc"), ("powered", true), ("nominal", 4.7)]);

    [Fact]
    public void A_point_goes_in_and_nothing_else_is_touched()
    {
        var grown = SheetGrower.Grow(Text, Pin).Text!;
        var sheet = SheetReader.Read(grown, "x").Sheet!;
        var point = sheet.Points.Single(p => p.Id == "u3-pin-5");
        Assert.Equal(("U3 pin 5: \"mute\" line, {odd}", "volt-dc", 4.7, true), (point.Words, point.Quantity, point.Nominal, point.Powered));
        // One line more, every other line as it was.
        var (before, after) = (Text.ReplaceLineEndings("\n").Split('\n'), grown.Split('\n'));
        Assert.Equal(before.Length + 1, after.Length);
        Assert.Equal(before, after.Where(l => !l.Contains("u3-pin-5")));
        // The YAML library reads it as the same map as before, and one entry more (YamlDotNet 18.1.0 as judge).
        Assert.Equal(Keys(Text, "points").Append("u3-pin-5"), Keys(grown, "points"));
    }

    [Fact]
    public void Every_part_that_grows_is_read_again_as_it_was_meant()
    {
        var grown = SheetGrower.Grow(Text, Pin,
            new Growth("hardware", "rubber-foot", [("name", "Rubber foot"), ("count", 4)]),
            new Growth("terminals", "gate", [("words", "Gate: left"), ("carries", "not measured yet"), ("may-connect", "no")]),
            new Growth("pieces", "fan", [("name", "Fan"), ("other", 0)]),
            new Growth("positions", "fan", [("name", "Fan"), ("piece", "fan"), ("at", ImmutableArray.Create(10, 0))]));
        var sheet = SheetReader.Read(grown.Text!, "x").Sheet!;
        Assert.Equal(4, sheet.Hardware.Single(h => h.Id == "rubber-foot").Count);
        Assert.Equal(("Gate: left", "no"), (sheet.Terminals.Single(t => t.Id == "gate").Words, sheet.Terminals.Single(t => t.Id == "gate").MayConnect));
        Assert.Equal((10, 0), (sheet.Positions.Single(p => p.Id == "fan").X, sheet.Positions.Single(p => p.Id == "fan").Y));
        Assert.Equal(Comments(Text), Comments(grown.Text!));
    }

    [Fact]
    public void A_value_is_renewed_where_it_stands_and_the_comment_behind_it_stays()
    {
        var text = Text.Replace("quantity: volt-dc, nominal: 16.5, low: 15, high: 18.8, ladder: 3}", "quantity: volt-dc, nominal: 16.5, low: 15, high: 18.8, ladder: 3}  # the one to watch");
        var grown = SheetGrower.Grow(text, new Growth("points", "raw", [("nominal", 16.42), ("high", 18.0)])).Text!;
        Assert.Contains("nominal: 16.42, low: 15, high: 18, ladder: 3}  # the one to watch", grown);
    }

    [Fact]
    public void What_would_not_read_is_refused_with_its_place_and_nothing_comes_out()
    {
        var twice = SheetGrower.Grow(Text, new Growth("points", "far-off", [("words", "x"), ("quantity", "furlongs")]));
        Assert.Null(twice.Text);
        Assert.Contains("quantity", twice.Why);
        Assert.Null(SheetGrower.Grow(Text, new Growth("points", "no name!", [("words", "x"), ("quantity", "volt-dc")])).Text);
        Assert.Null(SheetGrower.Grow(Text, new Growth("causes", "x", [("name", "x")])).Text);
        Assert.Null(SheetGrower.Grow(Text.Replace("hardware:\n", "hardware: {one: {name: One, count: 1}}\nhardware2:\n"), new Growth("hardware", "x", [("name", "x"), ("count", 1)])).Text);
        Assert.Throws<ArgumentOutOfRangeException>(() => SheetGrower.Grow(Text, new Growth("points", "x", [("nominal", double.NaN)])));
    }

    [Fact]
    public void A_part_that_was_not_there_is_begun()
    {
        var without = Text[..Text.IndexOf("\nhardware:", StringComparison.Ordinal)] + Text[Text.IndexOf("\nproof:", StringComparison.Ordinal)..];
        var grown = SheetGrower.Grow(without, new Growth("hardware", "knob", [("name", "Knob"), ("count", 2)]));
        Assert.Equal(["knob"], SheetReader.Read(grown.Text!, "x").Sheet!.Hardware.Select(h => h.Id));
    }

    [Fact]
    public void A_family_begins_as_the_block_model_cut_to_its_set()
    {
        var outline = new Outline("transistor", "transformer", 4, 2, ["tuner"]);
        var sheet = SheetReader.Read(SheetGrower.NewFamily("lower-lane", "Lower Lane: the \"green\" one", outline).Text!, "x").Sheet!;
        Assert.Equal(("lower-lane", "Lower Lane: the \"green\" one", "transistor"), (sheet.Id, sheet.Title, sheet.Era));
        Assert.Equal(SheetLibrary.Of([]).Find("unknown-set", outline)!.Positions.Select(p => p.Id), sheet.Positions.Select(p => p.Id));
        Assert.Null(SheetGrower.NewFamily("not a name", "x", outline).Text);
    }

    [Theory]
    [InlineData("U3 pin 5", "u3-pin-5"), InlineData("  Knöpfe! ", "kn-pfe"), InlineData("---", "")]
    public void A_name_of_one_s_own_becomes_an_id(string name, string id) => Assert.Equal(id, SheetGrower.IdOf(name));

    private static IEnumerable<string> Keys(string text, string section)
    {
        var yaml = new YamlStream();
        yaml.Load(new StringReader(text));
        return ((YamlMappingNode)((YamlMappingNode)yaml.Documents[0].RootNode)[section]).Children.Keys.Select(k => ((YamlScalarNode)k).Value!);
    }

    private static IEnumerable<string> Comments(string text) => text.ReplaceLineEndings("\n").Split('\n').Where(l => l.Contains(" #", StringComparison.Ordinal) || l.StartsWith('#'));
}
