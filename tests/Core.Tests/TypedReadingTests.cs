using Bellwire.Quantities;

namespace Core.Tests;

/// <summary>Readings as hands type them. Prefixes and the multiplier-as-point notation: IEC 60062 (from memory); SI brochure prefixes.</summary>
public class TypedReadingTests
{
    [Theory]
    [InlineData("4.1 V", 4.1, "volt-dc")]
    [InlineData("-12", -12, "volt-dc")]
    [InlineData("−12.4 V", -12.4, "volt-dc")]
    [InlineData("24 V AC", 24, "volt-ac")]
    [InlineData("38 mVpp", 0.038, "volt-ripple-pp")]
    [InlineData("4k7", 4700, "ohm")]
    [InlineData("6,8 kΩ", 6800, "ohm")]
    [InlineData("4R7", 4.7, "ohm")]
    [InlineData("0.5 ohm", 0.5, "ohm")]
    [InlineData("350 mA", 0.35, "ampere")]
    [InlineData("120 Hz", 120, "hertz")]
    [InlineData(".5", 0.5, "volt-dc")]
    public void Is_read(string text, double value, string quantity)
    {
        var reading = TypedReading.Parse(text, "volt-dc", out _);
        Assert.NotNull(reading);
        Assert.Equal(value, reading.Value, 1e-12 + Math.Abs(value) * 1e-12);
        Assert.Equal(quantity, reading.Quantity);
    }

    [Theory]
    [InlineData("hot")]
    [InlineData("4.1.2 V")]
    [InlineData("4 parsecs")]
    [InlineData("")]
    [InlineData("-3 ohm")]
    public void Is_refused_with_words(string text)
    {
        Assert.Null(TypedReading.Parse(text, null, out var why));
        Assert.NotEqual("", why);
    }
}
