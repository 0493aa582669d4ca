using System.Collections.Immutable;
using System.Globalization;
using System.Text;
using Bellwire.Circuits;
using Bellwire.Counsel;
using Bellwire.Reasoning;
using Bellwire.Sheets;
using Bellwire.Workshop;
using Core.Tests.Circuits;
using Core.Tests.Sheets;
using Core.Tests.Workshop;

namespace Core.Tests.Counsel;

/// <summary>
/// Boards that ngspice simulates: parts drawn within their tolerances, one trouble, two, or none, read at the sheet's points with a meter of 1 %
/// and three digits. The tape with these readings must name what was put in. The deep run takes 200 boards.
/// </summary>
public class RecognitionTests
{
    private const int Periods = 12;
    private static readonly TypeSheet Sheet = ShippedFiles.Read("corridor-nine");
    private static readonly CircuitSpec Supply = Sheet.Circuits[0];

    /// <summary>The tape says that every board sits in its place: what a missing one reads is not to be found there.</summary>
    internal static readonly ImmutableArray<CircuitTrouble> Possible = [.. Supply.Troubles.Where(t => t.When is not Condition.Empty)];

    /// <summary>The 10 MΩ of a hand meter at every point (common practice, no source): an open winding hangs on an insulation alone otherwise.</summary>
    internal static readonly Device[] Meters = [.. Supply.Points.DistinctBy(p => (p.Node, p.Against)).Select((p, k) => new Resistor($"RM{k}", p.Node, p.Against, 10e6))];
    private static readonly bool Deep = Environment.GetEnvironmentVariable("BELLWIRE_DEEP") == "1";

    /// <param name="Meant">The readings of the undrawn circuit with the same faults.</param>
    private sealed record Board(ImmutableArray<CircuitTrouble> Troubles, Netlist Circuit, double[] Meant);

    private static List<Board> Boards(int count)
    {
        var random = new Random(20_261_125);
        var boards = new List<Board>();
        while (boards.Count < count)
        {
            var some = random.Next(10) switch { 0 => 0, < 8 => 1, _ => 2 };
            ImmutableArray<CircuitTrouble> troubles = [.. Possible.OrderBy(_ => random.Next()).Take(some)];
            // A joint is cracked only while warm; these boards are read cold.
            if (troubles.Any(t => t.Words.StartsWith("U12 at 85", StringComparison.Ordinal))) continue;
            var faulted = Supply.Netlist.Faulted(troubles.SelectMany(t => t.Variants[random.Next(t.Variants.Length)]).ToList()).With(Meters);
            var s = SteadyState.Solve(faulted).Required;
            // Another seed than that of the forecast: no board is one of its draws.
            boards.Add(new(troubles, faulted.Drawn(4711, boards.Count), [.. Supply.Points.Select(p =>
            {
                var wave = s.Volts(p.Node, p.Against);
                return Sheet.Points.First(x => x.Id == p.Point).Quantity switch { "volt-ac" => wave.AcRms, "volt-ripple-pp" => wave.PeakToPeak, _ => wave.Mean };
            })]));
        }
        return boards;
    }

    private static List<Dictionary<string, double>> Read(List<Board> boards)
    {
        var random = new Random(7);
        double Normal() => Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(2 * Math.PI * random.NextDouble());
        var jobs = boards.Select(b =>
        {
            var ours = SteadyState.Solve(b.Circuit).Required;
            var (lines, nodes) = SpiceText.Write(b.Circuit, ours);
            var t = ours.PeriodSeconds;
            string V(string node) => node == Netlist.Ground ? "0" : $"v({nodes[node]})";
            var commands = new StringBuilder($"tran {Ngspice.N(t / 400)} {Ngspice.N(t * Periods)} {Ngspice.N(t * (Periods - 1.5))} {Ngspice.N(t / 400)} uic\n");
            for (var k = 0; k < Supply.Points.Length; k++)
            {
                var window = $"from={Ngspice.N(t * (Periods - 1))} to={Ngspice.N(t * Periods)}";
                commands.Append(CultureInfo.InvariantCulture, $"let p{k}={V(Supply.Points[k].Node)}-{V(Supply.Points[k].Against)}\nmeas tran avg_{k} avg p{k} {window}\nmeas tran pp_{k} pp p{k} {window}\nlet ac{k}=p{k}-$&avg_{k}\nmeas tran rms_{k} rms ac{k} {window}\n");
            }
            return (lines, commands.ToString());
        }).ToList();
        return [.. Ngspice.Run(jobs).Select(m => Supply.Points.Select((p, k) =>
        {
            var quantity = Sheet.Points.First(x => x.Id == p.Point).Quantity;
            var value = m.TryGetValue($"{(quantity == "volt-ac" ? "rms" : quantity == "volt-ripple-pp" ? "pp" : "avg")}_{k}", out var v) ? v : double.NaN;
            value *= 1 + 0.01 * Normal();
            var digit = Math.Pow(10, Math.Floor(Math.Log10(Math.Max(Math.Abs(value), 0.01))) - 2);
            return (p.Point, Value: Math.Round(value / digit) * digit);
        }).ToDictionary(x => x.Point, x => x.Value))];
    }

    private static Weighed Weigh(Dictionary<string, double> readings, Forecasts forecasts) =>
        Counsellor.Weigh(BenchedSet.Of(Sheet, "line", readings.Select(r => (r.Key, r.Value))).State, "J", Sheet, new AdviceOptions { Forecasts = forecasts });

    [Fact]
    public void What_ngspice_was_given_is_what_the_tape_names()
    {
        var forecasts = new Forecasts();
        forecasts.Build(Sheet);
        var forecast = forecasts.Of(Sheet, Supply)!;
        var boards = Boards(Deep ? 200 : 24);
        var readings = Read(boards);
        int first = 0, told = 0;
        var likelihood = 0.0;
        var misses = new List<string>();
        for (var k = 0; k < boards.Count; k++)
        {
            Assert.DoesNotContain(readings[k].Values, double.IsNaN);
            var foretold = Foretelling.Of(Replay.Of([]), "J", Sheet, forecasts, Weigh(readings[k], forecasts), 200);
            var states = foretold.Single(f => f.Circuit == Supply.Id).States;
            var truth = Name(boards[k].Troubles);
            // Where a dead feed or an open fuse hides the rest, no reading can tell more: what reads alike everywhere counts as named.
            var alike = forecast.States.Where(s => s == truth || Alike(forecast, s, boards[k].Meant)).ToHashSet();
            var p = states.Where(s => alike.Contains(s.State)).Sum(s => s.Probability);
            likelihood += Math.Log(Math.Max(p, 1e-3));
            told += p >= 0.5 ? 1 : 0;
            if (alike.Contains(states[0].State)) first++;
            else misses.Add(string.Create(CultureInfo.InvariantCulture, $"{truth} (p {p:0.000}) was called {states[0].State} ({states[0].Probability:0.00}): {string.Join(", ", readings[k].Select(r => $"{r.Key} {r.Value:0.###}"))}"));

        }
        var words = $"{first} of {boards.Count} named first, {told} at one in two or more, mean ln p {likelihood / boards.Count:0.000}\n{string.Join("\n", misses)}";
        TestContext.Current.TestOutputHelper?.WriteLine(words);
        Assert.True(first >= 0.9 * boards.Count && told >= 0.85 * boards.Count, words);
    }

    private static string Name(ImmutableArray<CircuitTrouble> troubles) => troubles.Length switch
    {
        0 => Target.OfTroubles.Good,
        1 => troubles[0].Words,
        _ => string.Join(" + ", Supply.Troubles.Where(troubles.Contains).Select(t => t.Words)),
    };

    /// <summary>One of the things the state may be reads, at every point, what the board was meant to, to within the spread or what a meter of 1 % sees.</summary>
    private static bool Alike(CircuitForecast forecast, string state, double[] meant)
    {
        var at = forecast.At(state);
        return at.Length > 0 && Enumerable.Range(0, at[0].Means.Length).Any(v => at.Zip(meant).All(p => Math.Abs(p.First.Means[v] - p.Second) < Math.Max(0.1, 0.04 * Math.Abs(p.Second))));
    }
}
