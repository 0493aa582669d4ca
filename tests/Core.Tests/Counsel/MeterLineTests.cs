using Bellwire.Counsel;
using Core.Tests.Sheets;

namespace Core.Tests.Counsel;

/// <summary>What the meter says, as technicians type it (common practice, no source).</summary>
public class MeterLineTests
{
    private static readonly Bellwire.Sheets.TypeSheet Sheet = ShippedFiles.Read("corridor-nine");

    [Theory]
    [InlineData("raw 16.9", "raw volt-dc 16.9")]
    [InlineData("raw 16.9 ripple .5pp 120", "raw volt-dc 16.9|raw-ripple volt-ripple-pp 0.5|raw-ripple-hertz hertz 120")]
    [InlineData("12V 12.05", "rail-12 volt-dc 12.05")]
    [InlineData("TP3 4.1V", "TP3 volt-dc 4.1")]
    [InlineData("R12 4k7", "R12 ohm 4700")]
    [InlineData("C1 310uF", "C1 farad 0.00031")]
    [InlineData("c1 310 µF", "C1 farad 0.00031")]
    [InlineData("C1 esr 2.4 raw 16.9", "C1-esr ohm 2.4|raw volt-dc 16.9")]
    [InlineData("R-amp 220 lifted D1 OL", "R-amp ohm 220 lifted|D1 ohm ∞")]
    [InlineData("d2 0.3 ohm out; U12 12.0 V", "D2 ohm 0.3 lifted|U12 volt-dc 12")]
    [InlineData("C1 310", "C1 farad 0.00031")]
    [InlineData("C1 4k7", "C1 ohm 4700")]
    [InlineData("R12 4k7 lifted", "R12 ohm 4700 lifted")]
    [InlineData("fuse-ohms OL", "fuse-ohms ohm ∞")]
    [InlineData("ac-ends 24 VAC", "ac-ends volt-ac 24")]
    [InlineData("ac-ends 24 V", "ac-ends volt-ac 24")]
    [InlineData("raw -16.9", "raw volt-dc -16.9")]
    [InlineData("raw 16.9; rail5 5.01; tune 31", "raw volt-dc 16.9|rail-5 volt-dc 5.01|tune volt-dc 31")]
    [InlineData("raw 16,9 V DC 12V 12.05 V", "raw volt-dc 16.9|rail-12 volt-dc 12.05")]
    [InlineData("new TP9 4.1V raw 16.9", "TP9 volt-dc 4.1 new|raw volt-dc 16.9")]
    [InlineData("new raw 16.9", "raw volt-dc 16.9 new")]
    [InlineData("new fuse 5 ohm", "fuse ohm 5 new")]
    [InlineData("idle-current 250mA", "idle-current ampere 0.25")]
    public void Is_read(string line, string expected)
    {
        var (readings, why) = MeterLine.Read(line, Sheet);
        Assert.Null(why);
        Assert.Equal(expected, string.Join("|", readings.Select(r => FormattableString.Invariant($"{r.Point} {r.Quantity} {r.Value}{(r.Lifted ? " lifted" : "")}{(r.New ? " new" : "")}").Replace("Infinity", "∞", StringComparison.Ordinal))));
    }

    [Theory]
    [InlineData("16.9", "Where does “16.9” belong?")]
    [InlineData("raw", "and what did it read?")]
    [InlineData("raw hot", "is not a reading")]
    [InlineData("ripple .5pp", "Ripple of what?")]
    [InlineData("rail-5 5 ripple 10mVpp", "no ripple point beside “rail-5”")]
    [InlineData("TP3 4.1", "say its unit")]
    [InlineData("R12 -47 ohm", "is below nothing")]
    [InlineData("C1 310 MF", "old parts print MF for µF")]
    [InlineData("C1 100k", "the ohms with their unit")]
    [InlineData("C1", "and what did it read?")]
    [InlineData("C1 esr", "and what did it read?")]
    [InlineData("  ", "Type what the meter says")]
    public void Is_refused_with_words(string line, string words)
    {
        var (readings, why) = MeterLine.Read(line, Sheet);
        Assert.Empty(readings);
        Assert.Contains(words, why, StringComparison.Ordinal);
    }
}
