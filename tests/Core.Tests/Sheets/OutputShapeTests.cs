using Bellwire.Circuits;
using Bellwire.Sheets;

namespace Core.Tests.Sheets;

/// <summary>Output stages told by their shape in a sheet.</summary>
public class OutputShapeTests
{
    private static SheetResult Read(string shape, string trouble = "U101 shorted pin 1 to 5, 2 ohm", string at = "amp-half") => SheetReader.Read(
        $"{SmallSheet.Text}\ncircuits:\n  out:\n    words: Output stage\n    shape: {{{shape}}}\n    points: {{rail: {at}}}\n    troubles:\n      - \"{trouble} when amp.chip dead\"\n", "c.yaml");

    [Theory]
    [InlineData("stage: chip, rail: 16 V, feed: 1 ohm, idle: 30 mA", "U101 open pin 3", "amp-half", 8)]
    [InlineData("stage: complementary, rail: 16 V, emitter: 1 ohm", "Q102 open pin 1", "amp-half", 8)]
    [InlineData("stage: transformer-coupled, rail: 12 V", "Q101 open pin 1", "amp-a", 12)]
    public void Stands_where_such_stages_do(string shape, string trouble, string at, double volts)
    {
        // Half the rail, or the collectors near the rail (common practice, no source).
        var read = Read(shape, trouble, at);
        Assert.Empty(read.Complaints);
        var c = Assert.Single(read.Sheet!.Circuits);
        Assert.Equal(volts, OperatingPoint.Solve(c.Netlist).Required.Volts(c.Points[0].Node), 0.06 * volts);
    }

    [Theory]
    [InlineData("stage: chop, rail: 16 V", "U101 open", "Unknown word 'chop'.")]
    [InlineData("stage: chip", "U101 open", "Missing key 'rail'.")]
    [InlineData("stage: chip, rail: 16 V, emitter: 1 ohm", "U101 open", "Unknown key 'emitter'")]
    [InlineData("stage: chip, rail: 16 V", "U101 shorted pin 1 to 9", "Expected two pins from 1 to 5")]
    public void A_mistake_is_answered(string shape, string trouble, string message) =>
        Assert.Contains(Read(shape, trouble).Complaints, c => c.Line > 0 && c.Column > 0 && c.Message.Contains(message, StringComparison.Ordinal));
}
