using System.Globalization;
using Bellwire.Circuits;

namespace Core.Tests.Circuits;

/// <summary>Rectifiers with capacitor filter against computed tables (reference/rectifiers) and closed forms.</summary>
public class RectifierTests
{
    internal static Netlist CentreTapped(double farads = 2200e-6, double esr = 0) => new(
        new VoltageSource("V1", "a", "0", new Sine(12, 60), 1), new VoltageSource("V2", "b", "0", new Sine(12, 60, 180), 1),
        new Diode("D1", "a", "raw"), new Diode("D2", "b", "raw"),
        new Capacitor("C1", "raw", "0", farads, esr), new Resistor("RL", "raw", "0", 47));

    internal static Netlist Bridge() => new(
        new VoltageSource("V1", "a", "b", new Sine(12, 60), 1),
        new Diode("D1", "a", "raw"), new Diode("D2", "b", "raw"), new Diode("D3", "0", "a"), new Diode("D4", "0", "b"),
        new Capacitor("C1", "raw", "0", 2200e-6), new Resistor("RL", "raw", "0", 47));

    [Theory]
    [InlineData("centre tapped")]
    [InlineData("bridge")]
    [InlineData("one diode open")]
    [InlineData("dried")]
    public void Agrees_with_ngspice(string circuit)
    {
        var row = Table("ngspice.csv").Single(r => r[0] == circuit).Skip(1).Select(c => double.Parse(c, CultureInfo.InvariantCulture)).ToArray();
        var s = SteadyState.Solve(circuit switch
        {
            "bridge" => Bridge(),
            "one diode open" => CentreTapped().Without("D2").With(new Resistor("D2", "b", "raw", 1e9)),
            "dried" => CentreTapped(100e-6, 3),
            _ => CentreTapped(),
        }).Required;
        var raw = s.Volts("raw");
        Near(row[0], raw.Mean, 0.005);
        Near(row[1], raw.PeakToPeak, 0.015);
        Near(row[2], raw.AcRms, 0.01);
        if (row[3] == 0) Assert.InRange(raw.Harmonic(1), 0, 1e-3);
        else Near(row[3], raw.Harmonic(1), 0.01);
        Near(row[4], raw.Harmonic(2), 0.01);
        Near(row[5], raw.Harmonic(4), 0.015);
        Near(row[6], s.Amperes("V1").Rms, 0.01);
        Near(row[7], -s.Amperes("V1").Min, 0.015);
        Near(row[8], s.Amperes("C1").Rms, 0.01);
        Assert.True(raw.PeakToPeak < s.Amperes("RL").Mean / (60 * (circuit == "dried" ? 100e-6 : 2200e-6))); // I/(f·C) is an upper bound
    }

    public static TheoryData<string, double, double, double, double, double> Normalised => [.. Table("normalised.csv").Select(r =>
        (r[0], Number(r[1]), Number(r[2]), Number(r[3]), Number(r[4]), Number(r[5])))];

    [Theory]
    [MemberData(nameof(Normalised))]
    public void Agrees_with_the_normalised_table(string wave, double wcr, double share, double mean, double ripple, double rms)
    {
        // Diodes sharp enough to be ideal: 1000 V peak, a knee of 0.3 V. One ohm of load is 1 kΩ here.
        var (peak, load) = (1000.0, 1000.0);
        Diode Sharp(string name, string a, string k) => new(name, a, k, 1e-9, 0.5, 1e-3);
        var filter = new Device[] { new Capacitor("C1", "raw", "0", wcr / (2 * Math.PI * 60 * load)), new Resistor("RL", "raw", "0", load) };
        var source = new Sine(peak / Math.Sqrt(2), 60);
        var n = wave == "half"
            ? new Netlist([new VoltageSource("V1", "a", "0", source, share * load), Sharp("D1", "a", "raw"), .. filter])
            : new Netlist([new VoltageSource("V1", "a", "b", source, share * load), Sharp("D1", "a", "raw"), Sharp("D2", "b", "raw"), Sharp("D3", "0", "a"), Sharp("D4", "0", "b"), .. filter]);
        var s = SteadyState.Solve(n).Required;
        var raw = s.Volts("raw");
        Near(mean, raw.Mean / peak, 0.003);
        Near(ripple, raw.AcRms / raw.Mean, 0.006); // two or three digits are given
        Near(rms, s.Amperes("V1").Rms / s.Amperes("RL").Mean, 0.003);
    }

    [Fact]
    public void Without_a_filter_the_rectified_sine_has_its_textbook_shares()
    {
        // Full-wave: mean 2/π, second harmonic 4/(3π), fourth 4/(15π) of the peak (Fourier series).
        Diode Sharp(string name, string a, string k) => new(name, a, k, 1e-9, 0.5, 1e-3);
        var s = SteadyState.Solve(new Netlist(new VoltageSource("V1", "a", "b", new Sine(1000 / Math.Sqrt(2), 60), 1e-3), Sharp("D1", "a", "raw"),
            Sharp("D2", "b", "raw"), Sharp("D3", "0", "a"), Sharp("D4", "0", "b"), new Resistor("RL", "raw", "0", 1000))).Required;
        var raw = s.Volts("raw");
        Near(2 / Math.PI * 1000, raw.Mean, 0.002);
        Near(4 / (3 * Math.PI) * 1000, raw.Harmonic(2), 0.003);
        Near(4 / (15 * Math.PI) * 1000, raw.Harmonic(4), 0.01);
    }

    private static void Near(double expected, double actual, double relative) =>
        Assert.True(Math.Abs(actual - expected) <= relative * Math.Abs(expected), FormattableString.Invariant($"{actual} instead of {expected}, {(actual / expected - 1) * 100:0.000} %"));

    private static double Number(string s) => double.Parse(s, CultureInfo.InvariantCulture);

    private static IEnumerable<string[]> Table(string file)
    {
        var at = new DirectoryInfo(AppContext.BaseDirectory);
        while (at is not null && !File.Exists(Path.Combine(at.FullName, "Bellwire.slnx"))) at = at.Parent;
        return File.ReadLines(Path.Combine(at!.FullName, "reference", "rectifiers", file)).Skip(1).Select(l => l.Split(','));
    }
}
