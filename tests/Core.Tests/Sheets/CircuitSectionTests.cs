using Bellwire.Circuits;
using Bellwire.Sheets;

namespace Core.Tests.Sheets;

/// <summary>Circuits of a sheet: what is read, and what is complained of, where.</summary>
public class CircuitSectionTests
{
    private const string Parts = """
        circuits:
          psu:
            words: Supply
            parts:
              V1: {source: [a, common], is: 12 V, hertz: 60 Hz, ohms: 1 ohm, tolerance: 5 %}
              D1: {diode: [a, raw], volts: 100 V, amperes: 1.5 A}
              C1: {capacitor: [raw, common], is: 1000 uF, esr: 0.1 ohm, tolerance: 20 %, volts: 25 V, reverse: 1 V}
              U1: {regulator: [raw, out, common], is: 9 V}
              R1: {resistor: [out, common], is: 100 ohm, tolerance: 5 %, watts: 2 W, joules: 40 J}
            points: {rail: out}
            terminals: {t1: [raw, common], spare: [a, out]}
            troubles:
              - "C1 dry to 10 %, 3 ohm when supply.reservoir dry"
              - U1 through when regulator shorted
              - U1 open or U1 at 60 % when regulator open
            beyond: amp.chip dead

        """;

    private const string Shape = """
        circuits:
          psu:
            words: Supply
            shape:
              rectifier: bridge
              transformer: {open-volts: 15 V, va: 20}
              fuse: {in: secondary, is: 1 A}
              diodes: 1N4002
              reservoir: 2200 uF 35 V
              stages:
                r9: {regulator: 7809, out: 100 uF}
                r5: {zener: 1N4733A, ohms: 100 ohm, from: r9}
              loads: {r9: 0.1 A, raw: 1k5}
            points: {rail: r9}
            troubles:
              - C1 dry when supply.reservoir dry
              - U1 through when regulator shorted
              - U1 no-output when regulator open

        """;

    private static SheetResult Read(string circuits) => SheetReader.Read(SmallSheet.Text + "\n" + circuits, "c.yaml");

    [Fact]
    public void Parts_and_troubles_are_read()
    {
        var read = Read(Parts);
        Assert.Empty(read.Complaints);
        var c = Assert.Single(read.Sheet!.Circuits);
        Assert.Equal(1000e-6, ((Capacitor)c.Netlist["C1"]).Farads, 1e-12);
        Assert.Equal(0.2, ((Capacitor)c.Netlist["C1"]).Tolerance, 1e-12);
        Assert.Equal(new DriedOut("C1", 0.1, 3), c.Troubles[0].Variants.Single().Single());
        Assert.Equal(2, c.Troubles[2].Variants.Length);
        Assert.Equal(new Drifted("U1", 0.6), c.Troubles[2].Variants[1].Single());
        Assert.NotNull(c.Beyond);
        Assert.Equal(["line"], c.Feeds);
        // 12 V RMS, one diode: peak 16.97 V less a junction, drooping I/(fC) at most: I = 9 V/100 Ω + 5 mA, f = 60 Hz (common practice, no source).
        var s = SteadyState.Solve(c.Netlist).Required;
        Assert.InRange(s.Volts("raw").Mean, 16.97 - 0.9 - 1.6 - 2, 16.97 - 0.5);
        Assert.Equal(9, s.Volts("out").Mean, 0.02);
    }

    [Fact]
    public void Terminals_and_ratings_are_read_and_points_may_be_left_out()
    {
        var c = Assert.Single(Read(Parts.Replace("points: {rail: out}", "", StringComparison.Ordinal).Replace("is: 9 V}", "is: 9 V}\n      F1: {fuse: [a, out], is: 1 A, melts: 0.8 A2s}", StringComparison.Ordinal)).Sheet!.Circuits);
        Assert.Empty(c.Points);
        Assert.Equal([new("t1", "raw", "0"), new("spare", "a", "out")], c.Terminals);
        Assert.Equal(new Ratings(Volts: 100, Amperes: 1.5), c.Netlist["D1"].Ratings);
        Assert.Equal(new Ratings(Volts: 25, ReverseVolts: 1), c.Netlist["C1"].Ratings);
        Assert.Equal(new Ratings(Watts: 2, JoulesToDamage: 40), c.Netlist["R1"].Ratings);
        Assert.Equal(new Ratings(MeltingAmpereSquaredSeconds: 0.8), c.Netlist["F1"].Ratings);
        Assert.Null(c.Netlist["U1"].Ratings);
    }

    [Fact]
    public void A_node_that_is_not_there_is_said_where_it_stands_with_the_nearest()
    {
        var text = SmallSheet.Text + "\n" + Parts.Replace("t1: [raw, common]", "t1: [common, raww]", StringComparison.Ordinal);
        var complaint = Assert.Single(SheetReader.Read(text, "c.yaml").Complaints);
        var line = text.Split('\n')[complaint.Line - 1];
        Assert.Equal(line.IndexOf("raww", StringComparison.Ordinal) + 1, complaint.Column);
        Assert.Equal("raw", complaint.Nearest);
    }

    [Fact]
    public void A_supply_is_told_by_its_shape_and_markings()
    {
        var read = Read(Shape);
        Assert.Empty(read.Complaints);
        var c = Assert.Single(read.Sheet!.Circuits);
        var s = SteadyState.Solve(c.Netlist).Required;
        Assert.Equal(9, s.Volts("r9").Mean, 0.1);
        // 1N4733A: 5.1 V at 49 mA, 5 % (maker's data sheet).
        Assert.InRange(s.Volts("r5").Mean, 4.6, 5.2);
        Assert.Equal(4, c.Netlist.Devices.OfType<Diode>().Count());
        Assert.Equal(0.1, s.Volts("r9").Mean / ((Resistor)c.Netlist["RL-r9"]).Ohms, 0.002);
    }

    public static TheoryData<bool, string, string, string> Mistakes => new()
    {
        { false, "is: 1000 uF", "is: 1000 ohm", "is not an amount in F" },
        { false, "is: 1000 uF, ", "", "Missing key 'is'." },
        { false, "{diode: [a, raw]", "{dioed: [a, raw]", "Which kind of part?" },
        { false, "{regulator: [raw, out, common]", "{regulator: [raw, out]", "A regulator has 3 nodes, found 2." },
        { false, "R1: {resistor: [out, common], is: 100 ohm", "R1: {resistor: [out, common], is: -100 ohm", "ohms must be a finite number above 0" },
        { false, "points: {rail: out}", "points: {rail: ouut}", "Unknown node 'ouut'." },
        { false, "points: {rail: out}", "points: {rial: out}", "Unknown point 'rial'." },
        { false, "C1 dry to", "C9 dry to", "Unknown part 'C9' of the circuit." },
        { false, "C1 dry to 10 %", "C1 dryed to 10 %", "Unknown fault 'dryed' of C1." },
        { false, "C1 dry to 10 %, 3 ohm when", "C1 dry to 10 %, 3 ohm if", "Expected 'when' after the fault, found 'if'." },
        { false, "U1 through when", "R1 through when", "this fault belongs to regulators" },
        { false, "when supply.reservoir dry", "when supply.reservoir drie", "Unknown mode 'drie' of supply.reservoir." },
        { false, "beyond: amp.chip dead", "beyond: amp.chip deda", "Unknown mode 'deda' of amp.chip." },
        { false, "t1: [raw, common]", "t1: [rwa, common]", "Unknown node 'rwa'." },
        { false, "t1: [raw, common]", "t1: raw", "Expected two nodes in a list" },
        { false, "t1: [raw, common]", "t1: [raw, raw]", "A terminal has two nodes that differ." },
        { false, "joules: 40 J", "joules: 40 V", "is not an amount in J" },
        { false, "amperes: 1.5 A", "amperes: 0 A", "A rating is above 0, found '0 A'." },
        { false, "U1 through when regulator shorted", "U1 through when regulator shorted (8 in 10)", "A trouble has no odds of its own: those of the sites it names count" },
        { false, "at 60 % when regulator open", "at 60 % when regulator open/shorted", "the sheet gives supply.regulator shorted weight 2, supply.regulator open weight 3. Write a trouble for each." },
        { true, "U1 no-output when regulator open", "U1 no-output or C1 dry when regulator open or reservoir dry", "Write a trouble for each." },
        { true, "rectifier: bridge", "rectifier: bridg", "Unknown word 'bridg'." },
        { true, "diodes: 1N4002", "diodes: 1X4002", "Unknown diode '1X4002'." },
        { true, "regulator: 7809", "regulator: fixed", "Unknown regulator 'fixed'." },
        { true, "zener: 1N4733A", "zener: red", "Unknown zener 'red'." },
        { true, "reservoir: 2200 uF 35 V", "reservoir: large", "Expected a capacitor such as '2200 uF 35 V', found 'large'." },
        { true, "open-volts: 15 V", "open-volts: 15 A", "is not an amount in V" },
        { true, "loads: {r9: 0.1 A", "loads: {r9: much", "Expected ohms or amperes such as '150 ohm' or '0.2 A', found 'much'." },
    };

    [Theory]
    [MemberData(nameof(Mistakes))]
    public void A_mistake_is_answered_on_its_line(bool shape, string right, string wrong, string message)
    {
        var text = shape ? Shape : Parts;
        var at = text.IndexOf(right, StringComparison.Ordinal);
        Assert.True(at >= 0, right);
        var before = SmallSheet.Text + "\n" + text[..at];
        var complaints = Read(text[..at] + wrong + text[(at + right.Length)..]).Complaints;
        Assert.True(complaints.Any(c => c.Line == before.Count(x => x == '\n') + 1 && c.Message.Contains(message, StringComparison.Ordinal)),
            $"line {before.Count(x => x == '\n') + 1}: {message}\n" + string.Join("\n", complaints.Select(c => $"{c.Line}:{c.Column} {c.Message}")));
    }

    [Fact]
    public void A_shape_out_of_range_is_said_with_its_limits()
    {
        var complaints = Read(Shape.Replace("open-volts: 15 V", "open-volts: 15000 V", StringComparison.Ordinal)).Complaints;
        Assert.Contains(complaints, c => c.Message.Contains("Transformer.OpenVolts", StringComparison.Ordinal) && c.Message.Contains("1000", StringComparison.Ordinal));
    }

    [Fact]
    public void A_floating_node_is_said_before_any_matrix()
    {
        var complaints = Read(Parts.Replace("R1: {resistor: [out, common]", "R1: {resistor: [lost, adrift]", StringComparison.Ordinal)).Complaints;
        Assert.Contains(complaints, c => c.Message.Contains("lost", StringComparison.Ordinal) || c.Message.Contains("adrift", StringComparison.Ordinal));
    }

    private const string Cold = """
          cold:
            words: Without power
            feeds: [off]
            like: psu
            parts:
              R1: {resistor: [out, common], is: 2k2}
              R2: {resistor: [raw, common], is: 10k}
            points: {rail-ohms: raw}
            troubles:
              - U1 through when regulator shorted

        """;

    [Fact]
    public void A_circuit_takes_the_parts_of_another_and_its_own_in_their_place()
    {
        var read = SheetReader.Read(SmallSheet.Text.Replace("points:\n", "points:\n  rail-ohms: {words: Rail, quantity: ohm, powered: false}\n", StringComparison.Ordinal) + "\n" + Parts + Cold, "c.yaml");
        Assert.Empty(read.Complaints);
        var cold = read.Sheet!.Circuits[1];
        Assert.True(cold.Unpowered);
        Assert.Equal(["V1", "D1", "C1", "U1", "R1", "R2"], cold.Netlist.Devices.Select(d => d.Name));
        Assert.Equal(2200, ((Resistor)cold.Netlist["R1"]).Ohms);
    }

    [Theory]
    [InlineData("like: psu", "like: pus", "Unknown circuit 'pus'")]
    [InlineData("like: psu", "like: cold", "it must stand before this one")]
    [InlineData("feeds: [off]", "feeds: [off, line]", "not both: 'off' stands alone")]
    [InlineData("feeds: [off]", "feeds: [line]", "A circuit under power foretells volt-dc")]
    [InlineData("rail-ohms: raw", "rail: raw", "A circuit without power foretells ohm")]
    public void What_is_wrong_with_a_circuit_without_power_is_said(string right, string wrong, string words)
    {
        var read = SheetReader.Read(SmallSheet.Text.Replace("points:\n", "points:\n  rail-ohms: {words: Rail, quantity: ohm, powered: false}\n", StringComparison.Ordinal) + "\n" + Parts + Cold.Replace(right, wrong, StringComparison.Ordinal), "c.yaml");
        Assert.Contains(read.Complaints, c => c.Message.Contains(words, StringComparison.Ordinal) && c.Line > 1);
    }
}
