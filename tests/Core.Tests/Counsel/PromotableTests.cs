using Bellwire.Counsel;
using Bellwire.Sheets.Growing;

namespace Core.Tests.Counsel;

/// <summary>What is put right before it goes into a sheet is what goes in, and nothing else changes.</summary>
public class PromotableTests
{
    private static readonly Promotable Point = new("point", "U3 pin 5", "", [new("points", "u3-pin-5", [("words", "U3 pin 5"), ("quantity", "volt-dc"), ("powered", true)])]);
    private static readonly Promotable Place = new("position", "Tape deck", "", [new("pieces", "deck", [("name", "Tape deck"), ("other", 0)]), new("positions", "deck", [("name", "Tape deck"), ("piece", "deck")])]);

    [Fact]
    public void A_new_point_asks_for_its_good_value_and_keeps_what_was_typed()
    {
        Assert.Equal(["words", "nominal"], Point.Asked.Select(a => a.Key));
        var right = Point.With(new Dictionary<string, object> { ["words"] = "pin 5 of the switch", ["nominal"] = 4.95 });
        Assert.Equal([("words", "pin 5 of the switch"), ("quantity", "volt-dc"), ("powered", true), ("nominal", (object)4.95)], right.Growths[0].Fields);
    }

    [Fact]
    public void A_name_put_right_is_put_right_for_the_kind_and_its_place()
    {
        var right = Place.With(new Dictionary<string, object> { ["name"] = "Cassette deck" });
        Assert.All(right.Growths, g => Assert.Contains(g.Fields, f => f is ("name", "Cassette deck")));
        Assert.Equal(Place.Growths[0].Fields[1], right.Growths[0].Fields[1]);
    }

    [Fact]
    public void What_may_be_connected_is_never_typed_and_a_number_is_one()
    {
        var terminal = new Promotable("terminal", "B", "", [new("terminals", "b", [("words", "B"), ("carries", "not measured yet"), ("may-connect", Promotion.NotKnown)])]);
        Assert.DoesNotContain(terminal.Asked, a => a.Key == "may-connect");
        Assert.Throws<ArgumentException>(() => terminal.With(new Dictionary<string, object> { ["may-connect"] = "anything" }));
        Assert.Throws<ArgumentException>(() => Point.With(new Dictionary<string, object> { ["nominal"] = double.NaN }));
    }
}
