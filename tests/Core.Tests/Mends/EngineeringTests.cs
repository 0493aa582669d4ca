using Bellwire.Quantities;

namespace Core.Tests.Mends;

/// <summary>SI brochure prefixes; the letter as decimal point, IEC 60062; old capacitor markings (mfd, mmf): from memory.</summary>
public class EngineeringTests
{
    [Theory]
    [InlineData("470", "F", "µ", 470e-6)]
    [InlineData("470 µF", "F", "µ", 470e-6)]
    [InlineData("4u7", "F", "µ", 4.7e-6)]
    [InlineData("50 mfd", "F", "µ", 50e-6)]
    [InlineData("250 mmf", "F", "µ", 250e-12)]
    [InlineData("100n", "F", "µ", 100e-9)]
    [InlineData("4k7", "Ω", "", 4700)]
    [InlineData("4R7", "Ω", "", 4.7)]
    [InlineData("2.2 Mohm", "Ω", "", 2.2e6)]
    [InlineData("1 1/2 A", "A", "", 1.5)]
    [InlineData("3/4", "A", "", 0.75)]
    [InlineData("500 mA", "A", "", 0.5)]
    [InlineData("100 ft", "m", "", 30.48)]
    [InlineData("30 m", "m", "", 30)]
    [InlineData("6,3 V", "V", "", 6.3)]
    [InlineData("−5 °C", "°C", "", -5)]
    [InlineData("10 %", "%", "", 10)]
    public void Is_read(string text, string unit, string usual, double value)
    {
        var read = Engineering.Parse(text, unit, usual, out var why);
        Assert.True(read is not null, why);
        Assert.Equal(value, read.Value, Math.Abs(value) * 1e-12);
    }

    [Theory]
    [InlineData("8 MF", "F", "ambiguous")]
    [InlineData("big", "V", "not an amount")]
    [InlineData("1/0", "A", "not an amount")]
    [InlineData("NaN", "V", "not an amount")]
    [InlineData("1e999", "V", "not an amount")]
    public void Is_refused_with_words(string text, string unit, string says)
    {
        Assert.Null(Engineering.Parse(text, unit, "", out var why));
        Assert.Contains(says, why);
    }

    [Theory]
    [InlineData(2200e-6, "F", "2200 µF")]
    [InlineData(4.7e-9, "F", "4.70 nF")]
    [InlineData(4700, "Ω", "4.70 kΩ")]
    [InlineData(0.212, "Ω", "212 mΩ")]
    [InlineData(13.467, "V", "13.5 V")]
    [InlineData(-12, "V", "−12 V")]
    [InlineData(0, "A", "0 A")]
    public void Is_said(double value, string unit, string said) => Assert.Equal(said.Replace(".70", ".7"), Engineering.Say(value, unit));
}
