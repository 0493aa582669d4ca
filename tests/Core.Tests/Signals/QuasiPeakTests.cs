using Bellwire.Signals;
using Core.Tests.Reasoning;

namespace Core.Tests.Signals;

public class QuasiPeakTests
{
    private const int Rate = 48_000;

    [Fact]
    public void Bursts_read_within_the_limits_of_the_recommendation()
    {
        var published = Reference.Read("audio-quasi-peak", "values.json");
        var steady = QuasiPeak.Measure(Make.Sine(Rate, 4, 5000, 0.5), Rate)!;
        foreach (var row in published.GetProperty("single").EnumerateArray())
            Within(row, QuasiPeak.Measure(Burst(2, (n, length) => n < length, row[0].GetDouble()), Rate)!.Highest / steady.Highest);
        foreach (var row in published.GetProperty("repeated").EnumerateArray())
            Within(row, QuasiPeak.Measure(Burst(4, (n, length) => n % (int)(Rate / row[0].GetDouble()) < length, 5), Rate)!.Highest / steady.Highest);
    }

    private static void Within(System.Text.Json.JsonElement row, double share) =>
        Assert.True(share >= row[2].GetDouble() && share <= row[3].GetDouble(), $"{row[0]}: {share:0.000}, limits {row[2]} to {row[3]}");

    private static double[] Burst(double seconds, Func<int, int, bool> on, double ms) =>
        [.. Make.Sine(Rate, seconds, 5000, 0.5).Select((v, n) => n >= Rate / 5 && on(n - Rate / 5, (int)(Rate * ms / 1000)) ? v : 0)];

    [Fact]
    public void A_sine_reads_its_weighted_level_and_noise_more_than_its_rms()
    {
        // BS.468-4, Table 1: 0 dB at 1 kHz, +12.2 dB at 6.3 kHz.
        Assert.Equal(-9.03, QuasiPeak.Measure(Make.Sine(Rate, 4, 1000, 0.5), Rate)!.SteadyDbfs, 0.1);
        Assert.Equal(12.2 - 29.03, QuasiPeak.Measure(Make.Sine(Rate, 4, 6300, 0.05), Rate)!.SteadyDbfs, 0.3);
        // Random noise reads some 4 to 5.5 dB above its weighted RMS (from memory).
        var noise = Make.Noise(1, Rate * 6, 0.05);
        var rms = Noise.Of(SpectrumMeter.Measure(noise, Rate, 8192, Window.Hann)!).Itu468Dbfs;
        Assert.InRange(QuasiPeak.Measure(noise, Rate)!.SteadyDbfs - rms, 3.5, 6);
        Assert.Null(QuasiPeak.Measure(new double[100], Rate));
    }
}
