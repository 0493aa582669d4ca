using System.Collections.Immutable;
using System.Globalization;
using System.Text;
using Bellwire.Circuits;
using Bellwire.Counsel;
using Bellwire.Sheets;
using Core.Tests.Circuits;
using Core.Tests.Sheets;

namespace Core.Tests.Counsel;

/// <summary>
/// Recognition beside a classifier that never saw our circuits: boards made by ngspice – fault, tolerances, line and meter error drawn here, by another generator than
/// the engine's – read at five points. Which faults cannot be told apart, and a normal likelihood classifier, come from ngspice draws alone. The deep run trains on
/// 1,000 draws a fault and judges 800 boards.
/// </summary>
public class ClassifierTests
{
    private const int Periods = 3, Steps = 160;
    private static readonly string[] Five = ["ac-ends", "raw", "raw-ripple", "rail-12", "rail-5"];
    private static readonly TypeSheet Sheet = ShippedFiles.Read("corridor-nine");
    private static readonly CircuitSpec Supply = Sheet.Circuits[0];
    private static readonly bool Deep = Environment.GetEnvironmentVariable("BELLWIRE_DEEP") == "1";

    private sealed class Chance(int seed)
    {
        private readonly Random _r = new(seed);
        public double Normal() => Math.Sqrt(-2 * Math.Log(1 - _r.NextDouble())) * Math.Cos(2 * Math.PI * _r.NextDouble());
        public double Within(double nominal, double tolerance) => nominal * (1 + tolerance * Math.Clamp(Normal() / 2, -1, 1));

        public Device Drawn(Device d) => d switch
        {
            Resistor r => r with { Ohms = Within(r.Ohms, r.Tolerance) },
            Capacitor c => c with { Farads = Within(c.Farads, c.Tolerance) },
            Regulator u => u with { Volts = Within(u.Volts, u.Tolerance) },
            Diode x => x with { SaturationAmperes = x.SaturationAmperes * Math.Pow(2, Math.Clamp(Normal() / 2, -1, 1)) },
            VoltageSource { Waveform: Sine s } v => v with { Waveform = new Sine(Within(s.Rms, v.Tolerance), s.Hertz, s.PhaseDegrees) },
            _ => d,
        };
    }

    private static (string Lines, string Commands) Job(Netlist board)
    {
        var ours = SteadyState.Solve(board).Required;
        var (lines, nodes) = SpiceText.Write(board, ours);
        var t = ours.PeriodSeconds;
        var window = $"from={Ngspice.N(t * (Periods - 1))} to={Ngspice.N(t * Periods)}";
        var commands = new StringBuilder($"tran {Ngspice.N(t / Steps)} {Ngspice.N(t * Periods)} {Ngspice.N(t * (Periods - 1.2))} {Ngspice.N(t / Steps)} uic\n");
        string V(string node) => node == Netlist.Ground ? "0" : $"v({nodes[node]})";
        for (var k = 0; k < Five.Length; k++)
        {
            var p = Supply.Points.First(x => x.Point == Five[k]);
            commands.Append(CultureInfo.InvariantCulture, $"let p{k}={V(p.Node)}-{V(p.Against)}\n");
            commands.Append(Five[k] switch
            {
                "ac-ends" => $"meas tran m{k} rms p{k} {window}\n", // no DC stands between the ends of a winding
                "raw-ripple" => $"meas tran m{k} pp p{k} {window}\n",
                _ => $"meas tran m{k} avg p{k} {window}\n",
            });
        }
        return (lines, commands.ToString());
    }

    /// <summary>Readings of each board as a meter of 1 % shows them.</summary>
    private static List<double[]> Read(IEnumerable<Netlist> boards, Chance meter) =>
        [.. boards.Chunk(500).SelectMany(some => Ngspice.Run([.. some.Select(Job)])).Select(m => Enumerable.Range(0, Five.Length).Select(k => m[$"m{k}"] * (1 + 0.01 * meter.Normal())).ToArray())];

    [Fact]
    public void Ours_comes_within_three_points_of_a_classifier_trained_on_ngspice()
    {
        var forecast = CircuitForecast.Build(Supply, Sheet.Points);
        var rows = new List<(string State, ImmutableArray<Fault> Faults)> { ("good", []) };
        rows.AddRange(RecognitionTests.Possible.SelectMany(t => t.Variants.Select(v => (t.Words, v))));
        var (train, judge) = (Deep ? 1000 : 16, Deep ? 800 : 32);
        var chance = new Chance(1);
        Netlist Board(int row) => new Netlist(Supply.Netlist.Faulted(rows[row].Faults).Devices.Select(chance.Drawn)).With(RecognitionTests.Meters);

        var drawn = Read(Enumerable.Range(0, rows.Count * train).Select(i => Board(i / train)), new Chance(2));
        var seen = rows.Select((_, r) => new Normal([.. drawn.Skip(r * train).Take(train)])).ToList();
        var alike = Classes(seen);
        var truth = Enumerable.Range(0, judge).Select(i => i * 7 % rows.Count).ToArray();
        var boards = Read(truth.Select(Board), new Chance(3));
        int ours = 0, three = 0, theirs = 0;
        List<string> taken = [];
        for (var i = 0; i < judge; i++)
        {
            var accepted = rows.Where((_, r) => alike[r] == alike[truth[i]]).Select(r => r.State).ToHashSet();
            PointReading[] readings = [.. Five.Select((p, k) => new PointReading(p, boards[i][k]))];
            var ranked = rows.Select(r => r.State).Distinct().OrderByDescending(s => forecast.Log(s, readings)).ToList();
            if (accepted.Contains(ranked[0])) ours++;
            else taken.Add($"{rows[truth[i]].State} for {ranked[0]}");
            if (ranked.Take(3).Any(accepted.Contains)) three++;
            var best = Enumerable.Range(0, rows.Count).MaxBy(r => seen[r].Log(boards[i]));
            if (accepted.Contains(rows[best].State)) theirs++;
        }
        var words = $"{judge} boards, {rows.Count} faults in {alike.Distinct().Count()} classes: ours first {100.0 * ours / judge:0.0} %, among three {100.0 * three / judge:0.0} %, classifier {100.0 * theirs / judge:0.0} %"
            + string.Concat(taken.CountBy(t => t).OrderByDescending(t => t.Value).Select(t => $"; {t.Value} × {t.Key}"));
        TestContext.Current.TestOutputHelper?.WriteLine(words);
        // Of 32 boards one is already more than three in a hundred.
        Assert.True(ours >= 0.9 * judge && three >= 0.98 * judge && ours >= theirs - Math.Max(1, 0.03 * judge), words);
    }

    /// <summary>Rows that no point parts by two pooled spreads, meter included, passed on from row to row.</summary>
    private static int[] Classes(List<Normal> rows)
    {
        var of = Enumerable.Range(0, rows.Count).ToArray();
        for (var a = 0; a < of.Length; a++)
            for (var b = a + 1; b < of.Length; b++)
                if (of[a] != of[b] && Enumerable.Range(0, Five.Length).All(k => Math.Abs(rows[a].Mean[k] - rows[b].Mean[k]) < 2 * Math.Sqrt((rows[a].Variance(k) + rows[b].Variance(k)) / 2)))
                {
                    var (keep, drop) = (Math.Min(of[a], of[b]), Math.Max(of[a], of[b]));
                    for (var k = 0; k < of.Length; k++) if (of[k] == drop) of[k] = keep;
                }
        return of;
    }

    /// <summary>A multivariate normal through draws; what hardly spreads is given 20 mV.</summary>
    private sealed class Normal
    {
        private readonly MathNet.Numerics.LinearAlgebra.Matrix<double> _inverse, _covariance;
        private readonly double _logDeterminant;
        public double[] Mean { get; }

        public Normal(double[][] draws)
        {
            var d = draws[0].Length;
            Mean = [.. Enumerable.Range(0, d).Select(j => draws.Average(x => x[j]))];
            _covariance = MathNet.Numerics.LinearAlgebra.Matrix<double>.Build.Dense(d, d, (i, j) =>
                draws.Sum(x => (x[i] - Mean[i]) * (x[j] - Mean[j])) / (draws.Length - 1) + (i == j ? 4e-4 : 0));
            _inverse = _covariance.Inverse();
            _logDeterminant = Math.Log(_covariance.Determinant());
        }

        public double Variance(int k) => _covariance[k, k];

        public double Log(double[] x)
        {
            var off = MathNet.Numerics.LinearAlgebra.Vector<double>.Build.Dense(x.Length, j => x[j] - Mean[j]);
            return -0.5 * (off * (_inverse * off) + _logDeterminant);
        }
    }
}
