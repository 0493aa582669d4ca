using System.Text.Json;
using Bellwire.Counsel.Mends;

namespace Core.Tests.Mends;

/// <summary>Against ngspice and against an independent integration with ideal diodes. Sources: reference/mends-bench/SOURCE.md.</summary>
public class RectifyingTests
{
    private static readonly JsonElement Published = Bench.Values.GetProperty("rectifier");

    [Fact]
    public void Agrees_with_the_circuit_simulator()
    {
        foreach (var c in Published.GetProperty("simulated").EnumerateArray())
        {
            var found = Rectifying.Solve(new(Enum.Parse<RectifierCircuit>(c.S("circuit")), 12, 1, c.N("farads"), 47, 60, c.N("esr")));
            var say = c.S("say");
            Assert.True(found.Converged, say);
            Bench.Near(c.N("mean"), found.Volts, Published.N("meanTolerance"), say + " mean");
            Bench.Near(c.N("ripple"), found.RipplePp, Published.N("rippleTolerance"), say + " ripple");
            Bench.Near(c.N("winding"), found.WindingRms, Published.N("windingTolerance"), say + " winding");
            Bench.Near(c.N("peak"), found.PeakAmps, Published.N("windingTolerance"), say + " peak");
            Assert.Equal(c.N("hertz"), found.RippleHertz);
        }
    }

    [Fact]
    public void Agrees_with_the_normalised_reference()
    {
        var tolerance = Published.N("idealTolerance");
        foreach (var row in Published.GetProperty("ideal").EnumerateArray())
        {
            var found = Ideal(RectifierCircuit.Bridge, row[0].GetDouble(), row[1].GetDouble());
            var say = $"ωCRL {row[0]}, Rs/RL {row[1]}";
            Bench.Near(row[2].GetDouble(), found.Volts / Math.Sqrt(2), tolerance, say);
            Bench.Near(row[3].GetDouble(), found.RipplePp / Math.Sqrt(2), 3 * tolerance, say + " ripple");
            Bench.Near(row[4].GetDouble(), found.WindingRms / found.LoadAmps, tolerance, say + " RMS");
            Bench.Near(row[5].GetDouble(), found.PeakAmps / found.LoadAmps, tolerance, say + " peak");
        }
        foreach (var row in Published.GetProperty("idealHalf").EnumerateArray())
        {
            var found = Ideal(RectifierCircuit.HalfWave, row[0].GetDouble(), row[1].GetDouble());
            Bench.Near(row[2].GetDouble(), found.Volts / Math.Sqrt(2), tolerance, $"half wave {row[0]}");
            Bench.Near(row[3].GetDouble(), found.WindingRms / found.LoadAmps, tolerance, $"half wave {row[0]} RMS");
        }
    }

    private static RectifierFound Ideal(RectifierCircuit circuit, double wcr, double share) =>
        Rectifying.Solve(new(circuit, 1, share, wcr / (2 * Math.PI * 60), 1, 60, 0, Silicon: false));

    /// <summary>The textbook bound I/(fC) is never undercut: it lets the capacitor feed the load all the time.</summary>
    [Fact]
    public void Ripple_stays_below_the_bound()
    {
        var b = Published.GetProperty("bound");
        Bench.Near(b.N("volts"), Rectifying.RippleBound(RectifierCircuit.Bridge, b.N("amps"), b.N("hertz"), b.N("farads")), 1e-4, "1 A, 1000 µF");
        foreach (var circuit in Enum.GetValues<RectifierCircuit>())
            foreach (var microfarads in new[] { 47.0, 470, 4700 })
                foreach (var load in new[] { 20.0, 200 })
                {
                    var found = Rectifying.Solve(new(circuit, 18, 0.7, microfarads * 1e-6, load, 50));
                    Assert.True(found.RipplePp <= Rectifying.RippleBound(circuit, found.LoadAmps, 50, microfarads * 1e-6), $"{circuit} {microfarads} {load}");
                }
    }

    [Fact]
    public void The_dropper_brings_the_rail_back()
    {
        var bare = new RectifierAsked(RectifierCircuit.HalfWave, 117, 5, 40e-6, 100 / 0.06, 60);
        var ohms = Rectifying.DropperFor(bare, 100);
        Assert.True(ohms > 50);
        Bench.Near(100, Rectifying.Solve(bare with { SourceOhms = 5 + ohms }).Volts, 0.001, "rail");
        Assert.Equal(0, Rectifying.DropperFor(bare, 160));
    }

    [Theory]
    [InlineData(double.NaN, 1e-3)]
    [InlineData(12, 0)]
    [InlineData(12, 1e3)]
    public void What_is_no_circuit_is_refused(double volts, double farads) =>
        Assert.Throws<ArgumentOutOfRangeException>(() => Rectifying.Solve(new(RectifierCircuit.Bridge, volts, 1, farads, 47, 60)));
}
