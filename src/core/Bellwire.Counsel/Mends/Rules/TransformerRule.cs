using System.Collections.Immutable;
using Bellwire.Quantities;

namespace Bellwire.Counsel.Mends;

/// <summary>A power transformer: VA, taps, open-circuit volts against what hangs on them. Volts within 5 %: common practice, no source.
/// House wiring: a Class 2 source has at most 30 V and 100 VA on its nameplate, NEC chapter 9 table 11(A) (quoted in a mailing list).</summary>
public sealed class TransformerRule : MendRule
{
    private static readonly NumberAsk Line = new("line", "Line", "V", 90, 260) { Required = true };
    private static readonly NumberAsk Hertz = new("hertz", "Line frequency", "Hz", 45, 65) { Usual = 60 };
    private static readonly NumberAsk Volts = new("volts", "Marked secondary, loaded", "V", 2, 800) { Required = true, Hint = "End to end." };
    private static readonly NumberAsk Va = new("va", "Marked VA", "VA", 0.5, 1000) { Required = true };
    private static readonly ChoiceAsk Tap = new("tap", "Centre tap", ("yes", "used"), ("no", "none or not used"));
    private static readonly ChoiceAsk Where = new("where", "It feeds", ("set", "the set, inside its box"), ("house", "the set over house wiring"));
    private static readonly NumberAsk Most = new("most", "Most the raw rail bears", "V", 3, 1000) { Hint = "The filter’s rating or the regulator’s highest input, whichever is lower." };
    private static readonly ChoiceAsk Circuit = new("circuit", "Rectifier", ("centre", "two diodes on the tap"), ("bridge", "bridge"), ("half", "half wave"));
    private static readonly NumberAsk NewLine = new("newline", "Its primary", "V", 90, 260) { OfNewPart = true, Like = "line" };
    private static readonly NumberAsk NewHertz = new("newhertz", "Its lowest frequency", "Hz", 45, 65) { OfNewPart = true };
    private static readonly NumberAsk NewVolts = new("newvolts", "Its secondary, loaded", "V", 2, 800) { OfNewPart = true, Like = "volts" };
    private static readonly NumberAsk Open = new("open", "Its secondary, open", "V", 2, 1000) { OfNewPart = true };
    private static readonly NumberAsk NewVa = new("newva", "Its VA", "VA", 0.5, 2000) { OfNewPart = true, Like = "va" };
    private static readonly ChoiceAsk NewTap = new("newtap", "Its centre tap", ("", "not known"), ("yes", "has one"), ("no", "has none")) { OfNewPart = true };
    private static readonly ChoiceAsk Kind = new("kind", "It is", ("", "not known"), ("isolating", "isolating"), ("auto", "an autotransformer"), ("switching", "a switching supply")) { OfNewPart = true };

    public override string Id => "transformer";
    public override string Title => "Transformer";
    public override string About => "Whether a transformer may take another’s place: VA, taps, and its volts with nothing connected.";
    public override ImmutableArray<Ask> Asks { get; } = [Line, Hertz, Volts, Va, Tap, Where, Circuit, Most, NewLine, NewHertz, NewVolts, Open, NewVa, NewTap, Kind];

    public override Finding Answer(Given given)
    {
        var tally = Weigh(given);
        var (line, volts, va) = (given.Need(Line), given.Need(Volts), given.Need(Va));
        tally.AtLeast(NewVa, va, "it runs hot and its link opens");
        tally.AtLeast(NewVolts, volts * 0.95, "the regulator falls out at low line").AtMost(NewVolts, volts * 1.05, "more heat in every regulator, more on every filter");
        if (tally.Proposed) Judge(tally, given, line);

        // Nothing drawn, high line: the whole peak stands on the filter.
        if (given[Most] is { } most)
        {
            var open = given[Open] ?? (given[NewVolts] ?? volts) * 1.15;
            var peak = open * 1.1 * Math.Sqrt(2) / (given[Circuit] == "centre" ? 2 : 1);
            tally.Figure("raw", "Raw rail with nothing drawn, high line", peak, "V", given[Open] is null ? "about" : "");
            if (given[Open] is null) tally.Mind("Its open volts are not known; 15 % above the loaded ones was taken. Measure them.");
            if (peak > most && tally.Proposed) tally.No($"With nothing drawn at high line the raw rail stands at {Engineering.Say(peak, "V")}, and {Engineering.Say(most, "V")} is what it bears.");
        }
        if (given[Where] == "house")
        {
            if (volts > 30 || va > 100) tally.Mind("Above 30 V or 100 VA thin house wiring is no longer limited-power wiring: that is for an electrician.");
            if (given[NewVa] > 100) tally.No("Above 100 VA the house’s thin wires become the fuse.");
            tally.Mind("Line side only by an electrician where local rules say so.");
        }
        tally.Mind("A thermal link in the old winding that opened is a result: ask what drew too much. It is never bridged.");
        return tally.Close("It fits.", $"Look for {Engineering.Say(volts, "V")}{(given[Tap] == "yes" ? " with a centre tap" : "")}, {Engineering.Say(va, "VA")} or more, isolating.");
    }

    private static void Judge(Tally tally, Given given, double line)
    {
        if (given[NewTap] != "yes" && given[Tap] == "yes") tally.No(given[NewTap] == "no" ? "The set uses the centre tap, and it has none: two diodes then have no way back." : "Whether it has a centre tap is not known, and the set uses one.");
        if (given[Kind] == "auto") tally.No("An autotransformer does not isolate: the whole set would hang on the line.");
        if (given[Kind] == "switching") tally.No("A switching supply gives DC, no tap, and its hash lands in the tuner.");
        if (given[Kind].Length == 0) tally.No("Whether it isolates is not known.");
        if (given[NewLine] is { } primary && Math.Abs(primary / line - 1) > 0.1) tally.No($"Its primary is for {Engineering.Say(primary, "V")}; the line is {Engineering.Say(line, "V")}.");
        if (!given.Has(NewLine)) tally.Mind("Its primary volts are not known: read the label before it sees the line.");
        if (given[NewHertz] is { } least && least > given[Hertz] + 1) tally.No($"Made for {Engineering.Say(least, "Hz")}: at {Engineering.Say(given[Hertz]!.Value, "Hz")} its iron saturates and it burns.");
    }
}
