using System.Collections.Immutable;
using Bellwire.Quantities;

namespace Bellwire.Counsel.Mends;

/// <summary>Capacitors on the line: safety classes X and Y only. Classes: IEC 60384-14 (from memory: X1 4 kV, X2 2.5 kV, X3 1.2 kV; Y1 8 kV and up to 500 V,
/// Y2 5 kV and up to 300 V, Y4 2.5 kV and up to 150 V). Touch current: 0.7 mA peak, IEC 60065 as quoted in a set's manual. Bleeder: time constant 1 s, IEC 60950 (from memory).</summary>
public sealed class LineCapacitorRule : MendRule
{
    /// <summary>Amperes, peak, through a hand on the chassis.</summary>
    private const double TouchPeak = 0.7e-3;

    private static readonly ChoiceAsk Place = new("place", "Where it sits", ("across", "across the line"), ("chassis", "from line to chassis"), ("touch", "from line to metal a hand can touch"), ("isolation", "bridging the isolation, line side to set side"));
    private static readonly NumberAsk Line = new("line", "Line", "V", 90, 260) { Required = true };
    private static readonly NumberAsk Hertz = new("hertz", "Line frequency", "Hz", 45, 65) { Usual = 60 };
    private static readonly NumberAsk Marked = new("marked", "Marked capacitance", "F", 1e-10, 1e-5) { Prefix = "µ", Required = true };
    private static readonly ChoiceAsk Class = new("class", "Class printed on the new one", ("", "none"), ("X1", "X1"), ("X2", "X2"), ("X3", "X3"), ("Y1", "Y1"), ("Y2", "Y2"), ("Y4", "Y4")) { OfNewPart = true };
    private static readonly NumberAsk New = new("new", "Its capacitance", "F", 1e-10, 1e-5) { Prefix = "µ", OfNewPart = true, Like = "marked" };
    private static readonly NumberAsk NewVolts = new("newvolts", "Its AC volts", "V", 50, 1000) { OfNewPart = true };

    public override string Id => "line-capacitor";
    public override string Title => "Capacitor on the line";
    public override string About => "Which safety class may sit on the line, and how large it may be.";
    public override ImmutableArray<Ask> Asks { get; } = [Place, Line, Hertz, Marked, Class, New, NewVolts];

    public override Finding Answer(Given given)
    {
        var tally = Weigh(given);
        var (place, line, old, c) = (given[Place], given.Need(Line), given.Need(Marked), given[Class]);
        var y = place != "across";
        if (tally.Proposed && c.Length == 0) tally.No("No X or Y is printed on it: an ordinary capacitor, whatever its volts, fails short and burns, or puts the line on the chassis.");
        if (y && c.StartsWith('X')) tally.No("An X part may only sit across the line. From line to chassis or to the set it must be Y, which fails open.");
        if (c == "Y4" && line > 150) tally.No("Y4 is for lines up to 150 V.");
        if (c == "X3" && line > 150) tally.Mind("X3 stands only small surges; X2 or X1 is the usual choice.");
        if (place is "touch" or "isolation" && c == "Y4") tally.Mind("Y2 or Y1 is the usual choice where a hand is at the other end.");
        tally.AtLeast(NewVolts, line, "it sits on the line day and night");
        if (given[NewVolts] < line * 1.1) tally.Mind("Little above the line: 250 V AC or more is the usual choice.");

        if (y)
        {
            // At line + 10 %, the whole line across it.
            var most = TouchPeak / Math.Sqrt(2) / (2 * Math.PI * given[Hertz]!.Value * line * 1.1);
            tally.Figure("leak", "Current through the old value, RMS", Capacitors.Current(line, given[Hertz]!.Value, old), "A");
            if (old > most) tally.Why($"The old {Engineering.Say(old, "F")} lets {Engineering.Say(Capacitors.Current(line, given[Hertz]!.Value, old), "A")} to the chassis: a tingle at best. Do not fit the marked value again.");
            tally.AtMost(New, Math.Min(old, most), old > most ? "more would let a hand feel the line" : "never more than was marked");
            tally.Mind("Where the set has a transformer and no earth, leaving it out altogether is often the better mend: try for hum and radio noise.");
        }
        else
        {
            tally.AtLeast(New, old * 0.67, "less does not quiet the line", must: false).AtMost(New, old * 1.5, "more draws current for nothing");
            if (old > 1e-7) tally.Mind($"Above 0.1 µF it can bite at the pulled plug: a bleeder of {Engineering.Say(Preferred.AtMost(1 / old, Preferred.E12), "Ω")} or less across it, made for the line’s volts.");
        }
        tally.Mind("An oil-filled one from before about 1980 may hold PCB: do not open it, and give it to special waste.");
        tally.Mind("Isolation transformer, cord out, discharged and measured before hands go in. Afterwards the cold leakage check again.");
        return tally.Close($"{c} fits here.", y ? "Look for a Y part (Y2 or Y1), no larger than the limit." : "Look for an X part (X2 or X1) of about the marked value; a Y part may sit here too.");
    }
}
