using Bellwire.Counsel.Mends;

namespace Core.Tests.Mends;

/// <summary>Blocking voltages: textbook (centre tap 2·12 V RMS: 33.9 V, bridge 17.0 V). Margins: common practice, no source.</summary>
public class RectifierRuleTests
{
    [Theory]
    [InlineData("centre", 33.94, 0.5)]
    [InlineData("bridge", 16.97, 0.5)]
    [InlineData("half", 33.94, 1)]
    public void Each_diode_blocks_and_carries(string circuit, double blocked, double share)
    {
        var finding = Bench.Ask("rectifier", ("circuit", circuit), ("ac", 12), ("amps", 1), ("high", 0));
        Bench.Near(blocked, finding.Value("blocked"), 0.0005, circuit);
        Assert.Equal(share, finding.Value("mean"));
        Assert.Equal(blocked, finding.Value("need-piv") * 0.75, 2);
    }

    [Fact]
    public void Too_little_is_refused()
    {
        Bench.Refused(Bench.Ask("rectifier", ("ac", 120), ("amps", 0.2), ("piv", 400), ("mean", 1)), "high line");
        Bench.Refused(Bench.Ask("rectifier", ("ac", 12), ("amps", 2), ("piv", 400), ("mean", 1)), "half its rating");
        Bench.Refused(Bench.Ask("rectifier", ("ac", 12), ("amps", 1), ("piv", 400)), "not known");
        Bench.Fits(Bench.Ask("rectifier", ("ac", 12), ("amps", 1), ("piv", 400), ("mean", 1), ("ohms", 1), ("surge", 30)));
    }
}
