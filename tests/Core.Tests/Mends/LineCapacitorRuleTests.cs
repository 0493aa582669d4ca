using Bellwire.Counsel.Mends;

namespace Core.Tests.Mends;

/// <summary>Classes: IEC 60384-14 (from memory). Touch current 0.7 mA peak: IEC 60065 as quoted in a set's manual. Current 2πfCV: closed form.</summary>
public class LineCapacitorRuleTests
{
    private static Finding Ask(string place, string @class, params (string, object)[] more) =>
        Bench.Ask("line-capacitor", [("place", place), ("line", 120), ("marked", "0.01"), ("class", @class), ("newvolts", 250), .. more.Any(m => m.Item1 == "new") ? more : [("new", "4.7 nF"), .. more]]);

    [Theory]
    [InlineData("X1")]
    [InlineData("X2")]
    [InlineData("X3")]
    public void X_never_goes_to_the_chassis(string x)
    {
        foreach (var place in new[] { "chassis", "touch", "isolation" }) Bench.Refused(Ask(place, x), "must be Y");
    }

    [Fact]
    public void An_ordinary_one_never_sits_on_the_line()
    {
        foreach (var place in new[] { "across", "chassis", "touch", "isolation" }) Bench.Refused(Ask(place, "", ("new", "0.01"), ("newvolts", 1000)), "ordinary capacitor");
    }

    [Fact]
    public void Right_classes_fit()
    {
        Bench.Fits(Ask("across", "X2", ("new", "0.01")));
        Bench.Fits(Ask("across", "Y2", ("new", "0.01")));
        Bench.Fits(Ask("chassis", "Y2"));
    }

    [Fact]
    public void Y4_stays_below_150_volts() => Bench.Refused(Bench.Ask("line-capacitor", ("place", "chassis"), ("line", 230), ("hertz", 50), ("marked", "2.2 nF"), ("class", "Y4"), ("new", "1 nF"), ("newvolts", 250)), "150 V");

    /// <summary>0.05 µF at 120 V 60 Hz: 2.26 mA. The most at 132 V: 0.7 mA ÷ √2 ÷ (2π·60·132) = 9.947 nF.</summary>
    [Fact]
    public void The_old_value_is_not_fitted_again_where_a_hand_would_feel_it()
    {
        var finding = Bench.Ask("line-capacitor", ("place", "chassis"), ("line", 120), ("marked", "0.05"), ("class", "Y2"), ("new", "0.047"), ("newvolts", 250));
        Bench.Near(2 * Math.PI * 60 * 0.05e-6 * 120, finding.Value("leak"), 1e-9, "leak");
        Bench.Near(9.947e-9, finding.Value("limit-new"), 0.0005, "limit");
        Bench.Refused(finding, "a hand feel the line");
    }

    /// <summary>Time constant 1 s: 0.22 µF wants 4.55 MΩ or less.</summary>
    [Fact]
    public void A_large_one_wants_a_bleeder() =>
        Bench.Minds(Bench.Ask("line-capacitor", ("line", 120), ("marked", "0.22"), ("class", "X2"), ("new", "0.22"), ("newvolts", 275)), "3.9 MΩ");
}
