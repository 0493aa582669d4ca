using Bellwire.Quantities;

namespace Core.Tests;

public class WordsTests
{
    [Theory]
    [InlineData(0.7, "about 7 in 10")]
    [InlineData(0.05, "about 1 in 10")]
    [InlineData(0.02, "about 1 in 50")]
    [InlineData(0.005, "about 1 in 200")]
    [InlineData(0.97, "about 19 in 20")]
    [InlineData(1.0, "all but certain")]
    [InlineData(0.0, "next to nothing")]
    public void Probabilities_are_said_in_bands(double p, string words) => Assert.Equal(words, Words.Band(p));

    [Fact]
    public void NaN_is_refused() => Assert.Throws<ArgumentOutOfRangeException>(() => Words.Band(double.NaN));
}
