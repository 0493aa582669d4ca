using System.Collections.Immutable;
using System.Globalization;
using Bellwire.Quantities;

namespace Bellwire.Counsel.Mends;

/// <summary>An electrolytic for an old one. Capacitance windows, 1.25 times the highest reading, temperature and ripple not less, ESR not more:
/// common practice, no source. ESR of a part as made: tan δ of a maker's data sheet. Life: the makers' 10 °C rule.</summary>
public sealed class ElectrolyticRule : MendRule
{
    private static readonly ChoiceAsk Role = new("role", "What it does", ("reservoir", "reservoir after silicon or selenium"), ("tube", "first one after a rectifier tube"), ("filter", "filter or bypass on a rail"), ("coupling", "coupling"), ("timing", "timing"), ("nonpolar", "sees AC: crossover, non-polar"));
    private static readonly NumberAsk Marked = new("marked", "Marked capacitance", "F", 1e-7, 1) { Prefix = "µ", Required = true };
    private static readonly NumberAsk Volts = new("volts", "Marked volts", "V", 2, 600) { Required = true };
    private static readonly NumberAsk Seen = new("read", "Highest DC read across it", "V", 0, 700) { Hint = "At high line, with the load off, if you have it." };
    private static readonly NumberAsk Place = new("place", "Temperature where it sits", "°C", 0, 105) { Usual = 45 };
    private static readonly NumberAsk Rated = new("rated", "Marked temperature", "°C", 40, 150) { Usual = 85 };
    private static readonly NumberAsk Ripple = new("ripple", "Ripple current it must carry", "A", 0, 50) { Hint = "From the handbook: supply and ripple." };
    private static readonly ChoiceAsk Ground = new("ground", "The set’s chassis is", ("negative", "negative"), ("positive", "positive (positive-ground set)"));
    private static readonly NumberAsk New = new("new", "Its capacitance", "F", 1e-7, 1) { Prefix = "µ", OfNewPart = true, Like = "marked" };
    private static readonly NumberAsk NewVolts = new("newvolts", "Its volts", "V", 2, 700) { OfNewPart = true, Like = "volts" };
    private static readonly NumberAsk NewTemp = new("newtemp", "Its temperature", "°C", 40, 150) { OfNewPart = true };
    private static readonly NumberAsk NewHours = new("newhours", "Its rated hours", "h", 100, 50000) { OfNewPart = true };
    private static readonly NumberAsk NewRipple = new("newripple", "Its ripple current", "A", 0, 50) { OfNewPart = true };
    private static readonly NumberAsk NewEsr = new("newesr", "Its ESR at 100 or 120 Hz", "Ω", 0, 1000) { OfNewPart = true };
    private static readonly ChoiceAsk Poles = new("poles", "It is", ("polar", "polar"), ("nonpolar", "non-polar")) { OfNewPart = true };

    public override string Id => "electrolytic";
    public override string Title => "Electrolytic capacitor";
    public override string About => "Whether an electrolytic may take the old one’s place, how long it should live, and which way round.";
    public override ImmutableArray<Ask> Asks { get; } = [Role, Marked, Volts, Seen, Place, Rated, Ripple, Ground, New, NewVolts, NewTemp, NewHours, NewRipple, NewEsr, Poles];

    public override Finding Answer(Given given)
    {
        var tally = Weigh(given);
        var (role, old, volts) = (given[Role], given.Need(Marked), given.Need(Volts));
        var (low, high, because) = Window(role);
        tally.AtLeast(New, old * low, "the old makers’ minus side; less lets hum or bass suffer").AtMost(New, old * high, because);

        var need = Math.Max(volts, 1.25 * (given[Seen] ?? 0));
        if (given[Seen] > volts) tally.Mind($"{Engineering.Say(given[Seen]!.Value, "V")} was read across a part marked {Engineering.Say(volts, "V")}: find out why before the new one goes in.");
        tally.AtLeast(NewVolts, need, given[Seen] is null ? "not below what is marked" : "not below what is marked, and a quarter above the highest reading");
        if (given[NewVolts] > 4 * need) tally.Mind("Far more volts than asked for: larger, and nothing gained.");
        tally.AtLeast(NewTemp, given[Rated]!.Value, "not cooler than the old one was made for", must: false);
        if (given[Ripple] is { } ripple) tally.AtLeast(NewRipple, ripple, "it heats itself with every cycle", must: role is "reservoir" or "tube");
        else if (role is "reservoir" or "tube") tally.Mind("Ripple current not asked for: reckon it under “Supply and ripple” and compare with the data sheet.");
        if (role is "reservoir" or "tube" or "filter")
            tally.AtMost(NewEsr, Capacitors.Esr(Capacitors.TanDelta(old, volts), 120, old), "a new part of the old size has no more", must: false);
        if (role == "nonpolar" && tally.Proposed && given[Poles] == "polar") tally.No("It sees AC: a polar one is driven backwards every half cycle and vents.");

        Life(tally, given);
        if (given[Poles] == "polar" || !tally.Proposed)
            tally.Mind(given[Ground] == "positive" ? "Positive-ground set: plus goes to the chassis. Draw the old one’s mark before it comes out." : "Draw the old one’s plus mark before it comes out; boards are printed wrong more often than one thinks.");
        tally.Mind("Discharge and measure first: below 10 V in a set with high voltage, below 0.5 V on a solid-state board. The old one comes out; never leave it in parallel.");
        if (role == "filter" && given[NewEsr] < 0.02) tally.Mind("So low an ESR behind a regulator may set it singing: look at the rail with an oscilloscope.");
        if (role == "tube") tally.Mind("A rectifier tube has a largest first capacitor in its data: more strips its cathode at switch-on.");
        return tally.Close("It fits.", $"Look for {Engineering.Say(old, "F")} (up to {Engineering.Say(old * high, "F")}), {Engineering.Say(need, "V")} or more, {Engineering.Say(Math.Max(given[Rated]!.Value, 105), "°C")}.");
    }

    private static (double Low, double High, string Because) Window(string role) => role switch
    {
        "reservoir" => (0.9, 1.5, "every switch-on is a heavier pulse for rectifier, winding and fuse"),
        "tube" => (0.9, 1.2, "the rectifier tube bears no larger first capacitor"),
        "filter" => (0.9, 2.0, "it holds the rail down too long at switch-on and gains nothing"),
        "coupling" => (0.9, 1.5, "it charges slowly and thumps"),
        _ => (0.9, 1.1, "the time or the crossover would move"),
    };

    private static void Life(Tally tally, Given given)
    {
        if (given[NewHours] is not { } hours || given[NewTemp] is not { } rated) return;
        var place = given[Place]!.Value;
        if (place > rated) { tally.No($"It would sit at {Engineering.Say(place, "°C")}, above its {Engineering.Say(rated, "°C")}."); return; }
        var years = Capacitors.Life(hours, rated, place) / 8766;
        tally.Figure("years", "Life by the 10 °C rule, always on", years, "years");
        tally.Why(years >= 15 ? "By the 10 °C rule it outlives its seal: reckon with some fifteen years." : string.Create(CultureInfo.InvariantCulture, $"By the 10 °C rule about {years:0.#} years, always on, before its own heating."));
        if (place < 60) tally.Mind("Below 60 °C the 10 °C rule promises too much.");
    }
}
