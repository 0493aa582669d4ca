using Bellwire.Counsel;
using Bellwire.Reasoning;

namespace Core.Tests.Counsel;

/// <summary>How good the figures are, in one plain line; the figures themselves are kept behind it.</summary>
public class HowWordsTests
{
    private static HowGot Drawn(double size, double error) => new(false, 0, 9, "drawn", ["Sampled, in full."]) { Drawn = new(4000, size, error, 0.01) };

    [Fact]
    public void What_was_drawn_by_lot_says_how_good_it_is()
    {
        Assert.Equal("Reckoned by lot: figures are good to ± 0.0003", HowWords.Of(Drawn(3993, 0.0003)));
        Assert.Equal("Reckoned by lot, and thinly: take the figures as rough", HowWords.Of(Drawn(150, 0.04)));
        Assert.Equal(["Sampled, in full."], HowWords.Figures(Drawn(3993, 0.0003)));
    }

    [Fact]
    public void What_was_left_out_is_said_by_how_much_hangs_on_it()
    {
        HowGot little = new(false, 0.0015, 9, "cut", []), much = new(false, 0.03, 9, "cut", []);
        Assert.Equal("Rounded off where next to nothing hangs on it", HowWords.Of(little));
        Assert.Equal("Rounded off: up to 3 % of the weight is left out", HowWords.Of(much));
        Assert.Equal(["Not reckoned exactly (cut, up to 0.15 % of the weight left out)."], HowWords.Figures(little));
        Assert.Null(HowWords.Of(new(true, 0, 9, "exact", [])));
    }
}
