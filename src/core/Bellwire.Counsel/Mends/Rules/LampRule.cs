using System.Collections.Immutable;
using System.Globalization;
using Bellwire.Quantities;

namespace Bellwire.Counsel.Mends;

/// <summary>Pilot and dial lamps. Life goes with the volts to the power −12, light to 3.5: lamp makers' rules (from memory).</summary>
public sealed class LampRule : MendRule
{
    private static readonly ChoiceAsk Place = new("place", "How it is fed", ("winding", "across a winding or rail"), ("series", "in series with heaters or other lamps"), ("limiter", "it limits or senses a current"));
    private static readonly NumberAsk Volts = new("volts", "Marked volts", "V", 1, 260) { Required = true };
    private static readonly NumberAsk Amps = new("amps", "Marked current", "A", 0.005, 10) { Required = true };
    private static readonly NumberAsk Feed = new("feed", "Volts read at the socket, lit", "V", 0.5, 260);
    private static readonly NumberAsk NewVolts = new("newvolts", "Its volts", "V", 1, 260) { OfNewPart = true, Like = "volts" };
    private static readonly NumberAsk NewAmps = new("newamps", "Its current", "A", 0.001, 10) { OfNewPart = true, Like = "amps" };
    private static readonly ChoiceAsk Kind = new("kind", "It is", ("filament", "a filament lamp"), ("led", "an LED made for this socket"), ("neon", "neon")) { OfNewPart = true };

    public override string Id => "lamp";
    public override string Title => "Lamp";
    public override string About => "Whether a lamp may take another’s place.";
    public override ImmutableArray<Ask> Asks { get; } = [Place, Volts, Amps, Feed, NewVolts, NewAmps, Kind];

    public override Finding Answer(Given given)
    {
        var tally = Weigh(given);
        var (volts, amps, place) = (given.Need(Volts), given.Need(Amps), given[Place]);
        if (place == "winding")
        {
            tally.AtLeast(NewVolts, volts * 0.95, "it burns bright and short").AtMost(NewVolts, volts * 1.35, "it hardly glows");
            tally.AtMost(NewAmps, amps * 1.1, "more heat for the lens and the winding");
        }
        else
        {
            tally.AtLeast(NewAmps, amps * 0.95, "in a chain every lamp must be made for the chain’s current: this one burns through").AtMost(NewAmps, amps * 1.05, "in a chain it stays dark and robs the others");
            tally.AtLeast(NewVolts, volts * 0.9, "the chain’s volts must add up", must: place == "series").AtMost(NewVolts, volts * 1.1, "the chain’s volts must add up", must: place == "series");
            if (given[Kind] != "filament") tally.No(place == "series" ? "The chain needs a filament: an LED opens or starves it." : "This lamp is a part of the circuit: its cold and hot ohms do the work, an LED’s do not.");
        }
        if (given[Kind] == "led" && place == "winding") tally.Mind("An LED for AC needs its own resistor and a diode against reverse volts, or it flickers and dies; it draws so little that a display of many lamps may show others brighter.");
        if (given[Kind] == "neon" && volts < 90) tally.No("Neon strikes at about 70 to 90 V.");
        if (given[Feed] is { } feed && given[NewVolts] is { } made)
        {
            var ratio = feed / made;
            tally.Figure("light", "Light, against its marking", Math.Pow(ratio, 3.5) * 100, "%", "about").Figure("life", "Life, against its marking", Math.Pow(ratio, -12) * 100, "%", "about");
            if (ratio > 1.1) tally.Mind(string.Create(CultureInfo.InvariantCulture, $"At {Engineering.Say(feed, "V")} it lives about a {Math.Round(Math.Pow(ratio, 12)):0}th of its time."));
        }
        tally.Mind("Same base. Look at the lens: where plastic is brown or soft the last lamp was too strong.");
        return tally.Close("It fits.", $"Look for {Engineering.Say(volts, "V")}, {Engineering.Say(amps, "A")}, same base.");
    }
}
