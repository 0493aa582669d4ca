using System.Collections.Immutable;
using Bellwire.Quantities;

namespace Bellwire.Counsel.Mends;

/// <summary>Film for paper, wax and old film in coupling, tone and tuned places. Windows and the warm-up voltage: common practice, no source.</summary>
public sealed class FilmRule : MendRule
{
    private static readonly ChoiceAsk Role = new("role", "What it does", ("grid", "couples a plate to a grid"), ("coupling", "couples between transistor stages"), ("tone", "tone control or equaliser"), ("bypass", "bypass to common"), ("tuned", "tuned circuit, oscillator, IF"));
    private static readonly ChoiceAsk Old = new("old", "The old one is", ("paper", "paper or wax"), ("film", "film"), ("mica", "mica"), ("ceramic", "ceramic"));
    private static readonly NumberAsk Marked = new("marked", "Marked capacitance", "F", 1e-12, 2e-5) { Prefix = "µ", Required = true };
    private static readonly NumberAsk Volts = new("volts", "Marked DC volts", "V", 10, 3000) { Required = true };
    private static readonly NumberAsk WarmUp = new("warmup", "Highest B+ while warming up", "V", 0, 1500) { Hint = "Before the tubes draw, the rail stands at its peak." };
    private static readonly NumberAsk Into = new("into", "Ohms it works into", "Ω", 10, 1e8);
    private static readonly ChoiceAsk Kind = new("kind", "The new one is", ("", "not known"), ("polyester", "polyester film"), ("polypropylene", "polypropylene film"), ("mica", "silver mica"), ("c0g", "ceramic C0G/NP0"), ("x7r", "ceramic X7R or Z5U")) { OfNewPart = true };
    private static readonly NumberAsk New = new("new", "Its capacitance", "F", 1e-12, 2e-5) { Prefix = "µ", OfNewPart = true, Like = "marked" };
    private static readonly NumberAsk NewVolts = new("newvolts", "Its DC volts", "V", 10, 3000) { OfNewPart = true, Like = "volts" };

    public override string Id => "film";
    public override string Title => "Film and coupling capacitor";
    public override string About => "Whether a film capacitor may take the place of a paper, wax or old film one.";
    public override ImmutableArray<Ask> Asks { get; } = [Role, Old, Marked, Volts, WarmUp, Into, Kind, New, NewVolts];

    public override Finding Answer(Given given)
    {
        var tally = Weigh(given);
        var (role, old, kind) = (given[Role], given.Need(Marked), given[Kind]);
        var (low, high) = role switch { "tuned" => (0.98, 1.02), "tone" => (0.9, 1.1), "bypass" => (0.8, 2.2), _ => (0.8, 1.5) };
        tally.AtLeast(New, old * low, role is "tuned" or "tone" ? "the frequency would move" : "the low notes would go");
        tally.AtMost(New, old * high, role is "tuned" or "tone" ? "the frequency would move" : "it thumps, blocks and passes rumble");

        var need = Math.Max(given.Need(Volts), given[WarmUp] ?? 0);
        tally.AtLeast(NewVolts, need, given[WarmUp] > given.Need(Volts) ? "before the tubes draw, the whole B+ stands across it" : "not below what is marked");
        if (role == "grid" && given[WarmUp] is null) tally.Mind("B+ while warming up was not given: it stands above the running B+ for half a minute, and all of it across this part.");

        if (kind == "x7r" && role != "bypass") tally.No("High-K ceramic changes with voltage, heat and age: distortion in audio, drift in a tuned circuit.");
        if (role == "tuned" && kind is "polyester" or "" && tally.Proposed) tally.No(kind.Length == 0 ? "What it is made of is not known; a tuned circuit drifts with the wrong film." : "Polyester drifts with heat: a tuned circuit takes polypropylene, mica or C0G.");
        if (role == "tuned") tally.Mind("Measure the new one, keep the leads as short as the old ones were, and expect to touch up the alignment.");
        if (given[Into] is { } ohms) tally.Figure("corner", "Low corner with the marked value", 1 / (2 * Math.PI * ohms * old), "Hz");

        if (role == "grid" && given[Old] == "paper") tally.Why("Paper on a grid is changed without asking: a few megohms of leak turn the next tube red and take the output transformer along.");
        if (given[Old] is "mica" && role != "tuned") tally.Why("Mica seldom fails: measure it out of circuit before it goes.");
        if (given[Old] is "paper") tally.Mind("The banded end of the old one is the outer foil: turn the new one’s outer foil to the quieter side (plate, or common).");
        tally.Mind("Does it touch the line anywhere? Then it is a capacitor on the line, with a class of its own.");
        return tally.Close("It fits.", $"Look for film of {Engineering.Say(old, "F")}, {Engineering.Say(need, "V")} or more.");
    }
}
