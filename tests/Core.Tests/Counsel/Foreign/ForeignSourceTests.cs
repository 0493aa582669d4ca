using Bellwire.Circuits;
using Bellwire.Counsel;

namespace Core.Tests.Counsel.Foreign;

/// <summary>Sources as they are typed.</summary>
public class ForeignSourceTests
{
    [Theory]
    [InlineData("24 V AC 2 ohm", 24, 60, 2, false)]
    [InlineData("24VAC", 24, 60, 1, false)]
    [InlineData("230 V AC 50 Hz 0.8 Ω", 230, 50, 0.8, false)]
    [InlineData("230 V AC, 50 Hz, 0.8 Ω", 230, 50, 0.8, false)]
    [InlineData("12,5 v dc 1k5 ohm reversed", 12.5, 0, 1500, true)]
    [InlineData("48 V DC", 48, 0, 1, false)]
    public void A_source_is_read(string text, double volts, double hertz, double ohms, bool reversed) =>
        Assert.Equal(new ForeignSource("", volts, hertz, ohms, reversed), ForeignSource.Parse(text, out _));

    [Theory]
    [InlineData("24 V", "AC or DC")]
    [InlineData("lots", "AC or DC")]
    [InlineData("0 V AC", "above 0")]
    [InlineData("5000 V DC", "at most")]
    [InlineData("24 V AC 0 Hz", "Hertz")]
    [InlineData("24 V AC 0 ohm", "Its own resistance")]
    [InlineData("24 V DC 60 Hz", "no hertz")]
    [InlineData("24 V AC reversed", "reversed")]
    [InlineData("", "AC or DC")]
    public void A_mistake_is_answered_with_what_to_write(string text, string says)
    {
        Assert.Null(ForeignSource.Parse(text, out var why));
        Assert.Contains(says, why, StringComparison.Ordinal);
    }

    [Fact]
    public void What_is_said_is_read_back() =>
        Assert.All(ForeignSource.Usual, s => Assert.Equal(s with { Words = "" }, ForeignSource.Parse(s.Values, out _)));

    [Fact]
    public void Its_wave_is_its_volts()
    {
        Assert.Equal(24 * Math.Sqrt(2), new ForeignSource("", 24, 60, 1).Waveform.At(1 / 240.0), 9);
        Assert.Equal(new Steady(-12), new ForeignSource("", 12, 0, 1, true).Waveform);
    }
}
