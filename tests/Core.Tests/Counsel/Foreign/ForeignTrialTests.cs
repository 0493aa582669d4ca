using Bellwire.Circuits;
using Bellwire.Counsel;
using Bellwire.Sheets;
using Core.Tests.Circuits;
using Core.Tests.Sheets;

namespace Core.Tests.Counsel.Foreign;

/// <summary>Foreign sources on the circuits of a sheet, against closed forms and ngspice.</summary>
public class ForeignTrialTests
{
    private static readonly TypeSheet Nine = ShippedFiles.Read("corridor-nine");
    private static readonly ForeignPlace Door = ForeignPlaces.Of(Nine).Single(p => p.Id == "door-1");

    private static (TypeSheet Sheet, CircuitSpec Circuit) Small(string parts)
    {
        var text = SmallSheet.Text + $"\ncircuits:\n  line:\n    words: Line\n    parts:\n{parts}\n    terminals: {{t1: [line, common]}}\n    troubles:\n      - R1 open when amp.chip dead\n";
        var read = SheetReader.Read(text, "s.yaml");
        Assert.Empty(read.Complaints);
        return (read.Sheet!, read.Sheet!.Circuits.Single());
    }

    private static ForeignOutcome Tie(string parts, string source, double seconds = ForeignTrial.UsualSeconds)
    {
        var (sheet, circuit) = Small(parts);
        return ForeignTrial.Try(sheet, circuit, "line", "0", ForeignSource.Parse(source, out _)!, seconds);
    }

    private const string Heated = "      R1: {resistor: [line, common], is: 40 ohm, watts: 0.25 W, joules: 1 J}";

    [Theory]
    // I = 10 V/(40 + 10) Ω, I²R = 1.6 W; 1 J beyond 0.25 W is gathered after 1/1.35 s, inside the run and beyond it alike.
    [InlineData(2, false)]
    [InlineData(0.25, true)]
    public void A_resistor_burns_by_its_current_squared(double seconds, bool extended)
    {
        var hurt = Assert.Single(Tie(Heated, "10 V DC 10 ohm", seconds).Hurt);
        Assert.Equal(1 / 1.35, hurt.AtSeconds!.Value, 1e-3);
        Assert.Equal([extended], hurt.Ends.Select(e => e.Reckoned));
        Assert.Equal(1.6 / 0.25, hurt.Worst, 1e-3);
        Assert.Equal([$"{Small(Heated).Sheet.Positions.Single(p => p.Id == "amp").Name}: chip"], hurt.Sites.Select(s => s.ToLowerInvariant() is var x && x.EndsWith(": chip", StringComparison.Ordinal) ? s[..^4] + "chip" : s));
        Assert.Contains("6.4 times its watts (1.6 W, 0.25 W allowed)", hurt.Words, StringComparison.Ordinal);
        Assert.Contains(extended ? "burns open after some 0.74 s" : "burns open after 0.74 s", hurt.Words, StringComparison.Ordinal);
    }

    [Fact]
    public void Alternating_volts_heat_as_much_as_direct_ones_of_their_rms()
    {
        // Definition of RMS; whole periods of 60 Hz in a quarter of a second.
        var (direct, alternating) = (Tie(Heated, "10 V DC 10 ohm").Hurt.Single(), Tie(Heated, "10 V AC 10 ohm").Hurt.Single());
        Assert.Equal(direct.Worst, alternating.Worst, 0.01);
    }

    [Fact]
    public void A_clamp_keeps_what_is_behind_it_and_pays_for_it()
    {
        // 12 V through 50 Ω on a 5.1 V clamp: I = (12 − Vz)/50 Ω with Vz = 5.1 V + 2 Ω·(I − 5 mA), the data-sheet line: I = 132.9 mA, Vz = 5.356 V,
        // 0.712 W in the clamp and 0.865 W in the 49 Ω. Data-sheet ohms fall with the current, hence 5 %. The other way round it is a diode of
        // less than a volt: no more than 0.25 W.
        const string Clamped = "      R1: {resistor: [line, in], is: 49 ohm, watts: 0.25 W}\n      Z1: {zener: [common, in], is: 5.1 V, at: 5 mA, ohms: 2 ohm, watts: 0.5 W}\n      C1: {capacitor: [in, common], is: 1 uF, volts: 10 V, leak: 1M}";
        var right = Tie(Clamped, "12 V DC 1 ohm").Hurt;
        Assert.Equal(["R1", "Z1"], right.Select(h => h.Part).Order());
        Assert.Equal(0.712 / 0.5, right.Single(h => h.Part == "Z1").Worst, 0.05 * 1.42);
        Assert.Equal(0.865 / 0.25, right.Single(h => h.Part == "R1").Worst, 0.05 * 3.46);
        Assert.Equal(["R1"], Tie(Clamped, "12 V DC 1 ohm reversed").Hurt.Select(h => h.Part));
    }

    [Fact]
    public void A_fuse_melts_by_its_integral_and_saves_the_rest()
    {
        // 20 A²s·… by hand: I = 24 V/2.2 Ω = 10.9 A, I² = 119 A²; 0.8 A²s are gathered in 6.7 ms, a little later for what it sheds.
        var hurt = Tie("      F1: {fuse: [line, x], is: 1 A, ohms: 0.2 ohm, melts: 0.8 A2s}\n      R1: {resistor: [x, common], is: 1 ohm, watts: 5 W, joules: 20 J}", "24 V DC 1 ohm").Hurt;
        Assert.Equal("F1", hurt[0].Part);
        Assert.True(hurt[0].Melts);
        Assert.Equal(0.8 / Math.Pow(24 / 2.2, 2), hurt[0].AtSeconds!.Value, 0.0002);
        Assert.DoesNotContain(hurt, h => h.Part == "R1" && h.Burns);
    }

    [Fact]
    public void The_doors_of_corridor_nine_agree_with_ngspice()
    {
        // The same run in ngspice, from rest: half a second of 24 V AC behind 2 Ω on the first pair.
        var whole = Door.Circuit.Netlist.With(new VoltageSource("FX", Door.From, Door.To, new Sine(24, 60), 2));
        var mine = WrongConnection.Try(Door.Circuit.Netlist, Door.From, Door.To, new Sine(24, 60), 2, 0.5).Required.Events;
        var (lines, nodes) = SpiceText.Write(whole);
        string V(string n) => n == "0" ? "0" : $"v({nodes[n]})";
        var run = Assert.Single(Ngspice.Run([(lines + ".options reltol=1e-5\n",
            $"tran 20u 0.5 0 20u uic\nlet rd={V("line1")}-{V("tip1")}\nlet rc={V("line1")}-{V("key1")}\nlet cd={V("in")}-{V("tip1")}\nmeas tran rdrms rms rd\nmeas tran rcrms rms rc\nmeas tran cdmax max cd\nmeas tran cdmin min cd")]));
        double Of(string part, Strain what) => mine.Single(e => e.Part == part && e.What == what).Actual;
        Assert.Equal(Math.Pow(run["rdrms"], 2) / 22, Of("RD1", Strain.Watts), 0.015 * Of("RD1", Strain.Watts));
        Assert.Equal(Math.Pow(run["rcrms"], 2) / 1000, Of("RC1", Strain.Watts), 0.015 * Of("RC1", Strain.Watts));
        Assert.Equal(run["cdmax"], Of("CD1", Strain.ReverseVolts), 0.01 * run["cdmax"]);
    }

    [Fact]
    public void Nothing_is_hurt_while_nothing_foreign_is_there()
    {
        foreach (var circuit in Nine.Circuits) Assert.Empty(Stress.Of(SteadyState.Solve(circuit.Netlist).Required));
    }

    [Fact]
    public void A_bell_transformer_on_a_door_takes_the_door_input_first_and_line_voltage_everything_sooner()
    {
        var all = ForeignTrial.Usual(Nine, Door.Circuit, Door.From, Door.To);
        Assert.Equal(ForeignSource.Usual, all.Select(o => o.Source));
        Assert.All(all, o => Assert.Null(o.Failure));
        // Common practice, no source: the door input goes, and the button input where the volts are high enough.
        Assert.Contains("Intercom board: door input", all[0].Places);
        var line = all.Single(o => o.Source.Words == "line voltage, 120 V");
        Assert.Contains("Chime module: button input", line.Places);
        foreach (var h in all[0].Hurt.Where(h => h.Burns)) Assert.True(line.Hurt.Single(x => x.Part == h.Part).AtSeconds < h.AtSeconds, h.Part);
        // The right way round a 12 V adapter stands behind a capacitor; the wrong way round that capacitor has its plus below its minus.
        Assert.Contains(all.Single(o => o.Source.Reversed).Hurt, h => h.Part == "CD1" && h.Strains.Any(s => s.What == Strain.ReverseVolts));
        Assert.DoesNotContain(all.Single(o => o.Source is { Volts: 12, Reversed: false }).Hurt, h => h.Part == "CD1");
    }

    [Fact]
    public void What_burns_first_saves_what_is_behind_it()
    {
        // By hand: behind 22 Ω and a clamp of some 6 V, 24 V AC lets the resistor bear some 7 W; its 6.6 J are gone within a second, before the
        // clamp has its two. After that nothing passes there, and the button's resistor stays below twice its watts.
        var bell = ForeignTrial.Try(Nine, Door.Circuit, Door.From, Door.To, ForeignSource.Usual[0]);
        Assert.Equal(["RD1"], bell.Hurt.Where(h => !h.Ends.IsEmpty).Select(h => h.Part));
        Assert.InRange(bell.Hurt.Single(h => h.Part == "RD1").Ends[0].AtSeconds, 6.6 / 8, 6.6 / 6);
        Assert.Equal("saved by what goes before it", bell.Hurt.Single(h => h.Part == "ZD").When);
        // Line voltage goes on from there: what stays tied on burns one after another.
        var line = ForeignTrial.Try(Nine, Door.Circuit, Door.From, Door.To, ForeignSource.Usual.Single(s => s.Words == "line voltage, 120 V"));
        Assert.Equal(["RD1", "RC1", "RB1"], line.Hurt.SelectMany(h => h.Ends).OrderBy(e => e.AtSeconds).Select(e => e.Part));
        Assert.Equal(3, line.Order.Length);
        Assert.StartsWith("resistor RD1, 22 Ω, burns open after ", line.Order[0], StringComparison.Ordinal);
        // RB1 alone, between 120 V AC and 12 V: (120² + 12²)/4700 = 3.1 W, 6.6 J beyond a quarter watt in 2.3 s from the start.
        Assert.Equal(6.6 / (14544 / 4700.0 - 0.25), line.Hurt.Single(h => h.Part == "RB1").Ends[0].AtSeconds, 0.12);
    }

    [Fact]
    public void It_can_be_stopped()
    {
        using var stop = new CancellationTokenSource();
        stop.Cancel();
        Assert.Throws<OperationCanceledException>(() => ForeignTrial.Usual(Nine, Door.Circuit, Door.From, Door.To, null, stop.Token));
    }

    [Fact]
    public void A_callers_mistake_is_named()
    {
        Assert.Contains("nowhere", Assert.Throws<ArgumentException>(() => ForeignTrial.Try(Nine, Door.Circuit, "nowhere", "0", ForeignSource.Usual[0])).Message);
        Assert.Throws<ArgumentException>(() => ForeignTrial.Try(Nine, Door.Circuit, "0", "0", ForeignSource.Usual[0]));
        Assert.Throws<ArgumentOutOfRangeException>(() => ForeignTrial.Try(Nine, Door.Circuit, Door.From, Door.To, ForeignSource.Usual[0], double.NaN));
        Assert.Throws<ArgumentOutOfRangeException>(() => ForeignSource.Usual[0] with { Volts = double.NaN });
    }
}
