using Bellwire.Circuits;

namespace Core.Tests.Circuits;

/// <summary>Fuses against the limits of IEC 60127-2 sheet 3 and worked pulses (makers' data sheets, values in the table below).</summary>
public class FuseTests
{
    private static Fuse Slow(double amperes, double melting) => new("F1", "a", "b", amperes) { Ratings = new(MeltingAmpereSquaredSeconds: melting) };

    // Melting integrals of 5×20 mm time-lag fuses as makers print them.
    [Theory]
    [InlineData(0.5, 2.90)]
    [InlineData(1, 19.2)]
    [InlineData(1.6, 44.2)]
    [InlineData(2, 92.7)]
    public void A_time_lag_fuse_opens_within_the_limits_of_its_sheet(double amperes, double melting)
    {
        var f = Slow(amperes, melting);
        Assert.True(f.OpensAfterSeconds(1.5 * amperes) >= 3600);
        Assert.True(f.OpensAfterSeconds(2.1 * amperes) <= 120);
        Assert.InRange(f.OpensAfterSeconds(2.75 * amperes)!.Value, 0.6, 10);
        Assert.InRange(f.OpensAfterSeconds(4 * amperes)!.Value, 0.15, 3);
        Assert.InRange(f.OpensAfterSeconds(10 * amperes)!.Value, 0.02, 0.3);
    }

    [Theory] // sub-miniature axial, very fast: 200 % within 1 s; time-lag: within 120 s (makers' sheets)
    [InlineData(0.5, 0.0598, 1)]
    [InlineData(1, 0.256, 1)]
    [InlineData(1, 0.722, 120)]
    [InlineData(3, 6.96, 120)]
    public void An_axial_fuse_opens_at_twice_its_rating_in_time(double amperes, double melting, double within)
    {
        var f = Slow(amperes, melting) with { HoldsTimes = 1.2 };
        Assert.True(f.OpensAfterSeconds(2 * amperes) <= within);
        Assert.Equal(double.PositiveInfinity, f.OpensAfterSeconds(amperes));
    }

    [Fact]
    public void A_discharge_carries_half_the_square_of_its_peak_times_its_time_constant()
    {
        // 17 V, 1 Ω, 2200 µF: 0.318 A²s (waveform rule ½·Ip²·τ of a fuse maker's guide).
        var n = new Netlist(new VoltageSource("V1", "in", "0", new Step(0, 17, 0, 1e-9), 0.9), new Fuse("F1", "in", "c", 2, 0.1), new Capacitor("C1", "c", "0", 2200e-6));
        var i = Transient.Run(n, new(0.03)).Required.Amperes("F1");
        Assert.Equal(0.318, i.Rms * i.Rms * 0.03, 0.002);
    }

    [Fact]
    public void A_short_opens_the_fuse_when_its_melting_integral_is_reached_and_the_rest_goes_on()
    {
        // 12 V behind 0.5 Ω and the fuse's 0.1 Ω into a short: 400 A²s a second, 0.256 A²s after 0.64 ms (adiabatic, by hand).
        var n = new Netlist(new Fuse("F1", "in", "out", 1, 0.1) { Ratings = new(MeltingAmpereSquaredSeconds: 0.256) }, new Resistor("R1", "out", "0", 1e-6), new Resistor("R2", "in", "0", 1000));
        var w = WrongConnection.Try(n, "in", "0", new Steady(12), 0.5, 0.05).Required;
        var melted = Assert.Single(w.Events, e => e.What == Strain.Melts);
        Assert.Equal(0.64e-3, melted.AtSeconds!.Value, 2e-5);
        Assert.True(((Resistor)w.End["F1"]).Ohms > 1e8);
    }
}
