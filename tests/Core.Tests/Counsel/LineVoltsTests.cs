using System.Collections.Immutable;
using System.Globalization;
using System.Text;
using Bellwire.Circuits;
using Bellwire.Counsel;
using Bellwire.Sheets;
using Bellwire.Workshop;
using Core.Tests.Circuits;
using Core.Tests.Sheets;
using Core.Tests.Workshop;

namespace Core.Tests.Counsel;

/// <summary>Line volts said when the power came on, against ngspice at that line.</summary>
public class LineVoltsTests
{
    private static readonly TypeSheet Sheet = ShippedFiles.Read("corridor-nine");
    private static readonly CircuitSpec Supply = Sheet.Circuits.Single(c => c.Id == "supply");
    private static readonly Dictionary<string, double> Low = Spice(105), Nominal = Spice(120);
    private static readonly Lazy<Forecasts> Shelf = new(() =>
    {
        var all = new Forecasts();
        all.Build(Sheet, fed: [new(Supply, 105)]);
        return all;
    });

    /// <summary>What the points of the healthy supply read in ngspice.</summary>
    private static Dictionary<string, double> Spice(double volts)
    {
        var netlist = LineVolts.Fed(Supply, volts).Netlist;
        var (lines, nodes) = SpiceText.Write(netlist, SteadyState.Solve(netlist).Required);
        string V(string node) => node == Netlist.Ground ? "0" : $"v({nodes[node]})";
        const int Periods = 12;
        var t = 1 / Supply.LineHertz;
        var commands = new StringBuilder($"tran {Ngspice.N(t / 400)} {Ngspice.N(t * Periods)} 0 {Ngspice.N(t / 400)} uic\n");
        var window = $"from={Ngspice.N(t * (Periods - 1))} to={Ngspice.N(t * Periods)}";
        for (var k = 0; k < Supply.Points.Length; k++)
            commands.Append(CultureInfo.InvariantCulture, $"let p{k}={V(Supply.Points[k].Node)}-{V(Supply.Points[k].Against)}\nmeas tran avg_{k} avg p{k} {window}\nmeas tran pp_{k} pp p{k} {window}\nlet ac{k}=p{k}-$&avg_{k}\nmeas tran rms_{k} rms ac{k} {window}\n");
        var m = Assert.Single(Ngspice.Run([(lines, commands.ToString())]));
        return Supply.Points.Select((p, k) => (p.Point, Value: m[$"{Sheet.Points.First(x => x.Id == p.Point).Quantity switch { "volt-ac" => "rms", "volt-ripple-pp" => "pp", _ => "avg" }}_{k}"])).ToDictionary(x => x.Point, x => x.Value);
    }

    private static ShopWorld Bench(double? line, params string[] points) => BenchedSet.Of(Sheet, "line", points.Select(p => (p, Low[p])), line);

    private static Foretold Tell(ShopWorld w) =>
        Foretelling.Of(w.State, "J", Sheet, Shelf.Value, Counsellor.Weigh(w.State, "J", Sheet, new AdviceOptions { Forecasts = Shelf.Value })).Single(f => f.Circuit == Supply.Id);

    [Fact]
    public void What_is_foretold_goes_by_the_line_that_was_said_through_the_circuit_and_not_by_a_factor()
    {
        var told = Tell(Bench(105));
        Assert.Equal(105, told.Line?.Volts);
        var good = told.States.Single(s => s.State == "good").Readings.ToDictionary(r => r.Point);
        foreach (var (point, near) in new[] { ("ac-ends", 0.01), ("raw", 0.01), ("rail-12", 0.01), ("rail-5", 0.01), ("raw-ripple", 0.03) })
            Assert.Equal(Low[point], good[point].Mean, near * Low[point]);
        // What is regulated does not follow the line; raw falls by more than the line does, for its diodes take the same as before.
        Assert.Equal(Nominal["rail-5"], good["rail-5"].Mean, 0.03);
        Assert.True(good["raw"].Mean < Nominal["raw"] * 105 / 120);
        // At the sheet's own line such a raw lies outside the span of healthy sets.
        var unsaid = Tell(Bench(null));
        Assert.Null(unsaid.Line);
        Assert.True(unsaid.States.Single(s => s.State == "good").Readings.Single(r => r.Point == "raw").Low > Low["raw"]);
    }

    [Fact]
    public void Readings_under_a_low_line_that_was_said_are_no_evidence_of_a_fault()
    {
        Weighed Weigh(double? line) => Counsellor.Weigh(Bench(line, "raw", "raw-ripple", "rail-12", "rail-5").State, "J", Sheet, new AdviceOptions { Forecasts = Shelf.Value });
        Assert.InRange(Tell(Bench(105, "raw", "raw-ripple", "rail-12", "rail-5")).States.Single(s => s.State == "good").Probability, 0.9, 1);
        // The tape is likelier by more than e² once the line is known; each reading by itself is no surprise.
        var (said, unsaid) = (Weigh(105).Weighing.Posterior!, Weigh(null).Weighing.Posterior!);
        Assert.True(said.LogEvidence > unsaid.LogEvidence + 2, $"{said.LogEvidence:0.00} {unsaid.LogEvidence:0.00}");
        Assert.All(said.Entries, e => Assert.InRange(e.Surprise, -8, 4));
    }

    private static AtLine? Line(double? said, params (string Point, double Value)[] readings) => LineVolts.Of(BenchedSet.Of(Sheet, "line", readings, said).State, "J", Sheet).Now(Supply);

    [Fact]
    public void An_AC_reading_beside_that_does_not_fit_is_believed_before_what_was_said()
    {
        Assert.Equal(new AtLine(Supply, 105), Line(105));
        Assert.Equal(new AtLine(Supply, 105), Line(105, ("ac-ends", Low["ac-ends"])));
        // A slip of the pen: the winding reads as at the sheet's line.
        Assert.Null(Line(105, ("ac-ends", Nominal["ac-ends"])));
        // 140 said, 110 there: windings go with the line (ngspice at 110).
        var at = Line(140, ("ac-ends", Spice(110)["ac-ends"]));
        Assert.True(at is { Volts: >= 109 and <= 111, ByReading: true }, $"{at}");
        // Half a winding is a fault and no line of 60 V; a fuse's drop is no winding.
        Assert.Equal(105, Line(105, ("ac-ends", Nominal["ac-ends"] / 2))?.Volts);
        Assert.Equal(105, Line(105, ("fuse-drop", 0.2))?.Volts);
    }

    [Fact]
    public void What_is_no_line_volts_of_the_circuit_is_left()
    {
        Assert.Null(Line(null));
        Assert.Null(Line(120.3));
        Assert.Null(Line(240)); // twice the sheet's line
        Assert.Null(Line(16)); // a bench supply's
        Assert.Null(LineVolts.Of(BenchedSet.Of(Sheet, "limited", [], 105).State, "J", Sheet).Now(Supply));
        Assert.Null(LineVolts.SourceOf(Sheet.Circuits.Single(c => c.Id == "doors")));
        Assert.Contains("36 to 156 V", Assert.Throws<ArgumentException>(() => LineVolts.Fed(Supply, 200)).Message);
    }

    [Fact]
    public void Each_sitting_keeps_its_own_line_and_the_last_ones_are_foretold()
    {
        var w = BenchedSet.Of(Sheet, "line", [("raw", 16)], 105);
        w.Must(new Unpowered("J", "S"));
        Assert.Null(LineVolts.Of(w.State, "J", Sheet).Now(Supply));
        Assert.Equal([105], LineVolts.Of(w.State, "J", Sheet).Needed.Select(n => n.Volts));
        for (var volts = 90; volts < 100; volts++)
        {
            w.Must(new Powered("J", "S", "line", volts));
            w.Must(new ReadingTaken("J", "S", "raw", "volt-dc", 14, "14", ImmutableDictionary<string, string>.Empty, 1));
            w.Must(new Unpowered("J", "S"));
        }
        var lines = LineVolts.Of(w.State, "J", Sheet);
        Assert.Equal(Enumerable.Range(94, LineVolts.Most), lines.Needed.Select(n => n.Volts));
        var powered = w.Recorded.First(e => e.Act is Powered { LineVolts: 92 });
        Assert.Equal(92, lines.At(powered.Id, Supply)?.Volts);
    }
}
