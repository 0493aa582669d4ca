using System.Collections.Immutable;
using Bellwire.Quantities;

namespace Bellwire.Counsel.Mends;

/// <summary>Silicon for selenium or for a rectifier tube: the dropping resistor that brings the rail back, its heat, and the warm-up voltage against the filter's rating.
/// The loaded mean is solved, not read off curves (see the engine notes); resistor at half its rating: common practice, no source.</summary>
public sealed class SeleniumRule : MendRule
{
    private static readonly ChoiceAsk Old = new("old", "The old one is", ("selenium", "selenium"), ("tube", "a rectifier tube"));
    private static readonly ChoiceAsk Circuit = new("circuit", "Circuit", ("half", "half wave"), ("centre", "two diodes on a centre tap"), ("bridge", "bridge"));
    private static readonly NumberAsk Volts = new("ac", "AC that feeds it", "V", 5, 600) { Required = true, Hint = "From the tap to one end, with a centre tap." };
    private static readonly NumberAsk Hertz = new("hertz", "Line frequency", "Hz", 45, 65) { Usual = 60 };
    private static readonly NumberAsk Ohms = new("ohms", "Ohms before it", "Ω", 0.1, 2000) { Usual = 5, Hint = "Winding and any surge resistor." };
    private static readonly NumberAsk Farads = new("farads", "Reservoir", "F", 1e-6, 0.02) { Prefix = "µ", Required = true };
    private static readonly NumberAsk Amps = new("amps", "DC the set draws, warm", "A", 0.001, 5) { Required = true };
    private static readonly NumberAsk Wanted = new("wanted", "Rail a good set shows, loaded", "V", 3, 800) { Required = true };
    private static readonly NumberAsk Filter = new("filter", "Filter capacitors are rated", "V", 5, 800) { Required = true };
    private static readonly NumberAsk High = new("high", "High line, above nominal", "%", 0, 25) { Usual = 10 };
    private static readonly ChoiceAsk Heaters = new("heaters", "The load at switch-on", ("cold", "none: tubes are cold, or boards are out"), ("at-once", "draws at once: transistors"));
    private static readonly NumberAsk Piv = new("piv", "Its blocking voltage", "V", 10, 5000) { OfNewPart = true };
    private static readonly NumberAsk Dropper = new("dropper", "Its dropping resistor", "Ω", 0, 20000) { OfNewPart = true };
    private static readonly NumberAsk Watts = new("watts", "Its resistor’s rating", "W", 0.1, 200) { OfNewPart = true };

    public override string Id => "selenium";
    public override string Title => "Silicon for selenium or a tube";
    public override string About => "The resistor silicon needs in place of selenium or a tube, and what the filter sees while the set warms up.";
    public override ImmutableArray<Ask> Asks { get; } = [Old, Circuit, Volts, Hertz, Ohms, Farads, Amps, Wanted, Filter, High, Heaters, Piv, Dropper, Watts];

    public override Finding Answer(Given given)
    {
        var tally = Weigh(given);
        var circuit = RectifierRule.CircuitOf(given[Circuit]);
        var (ac, wanted, amps, line) = (given.Need(Volts), given.Need(Wanted), given.Need(Amps), 1 + given[High]!.Value / 100);
        var peak = ac * Math.Sqrt(2);
        if (wanted >= peak) return tally.NoAdvice($"{Engineering.Say(wanted, "V")} cannot come from {Engineering.Say(ac, "V")} AC, whose peak is {Engineering.Say(peak, "V")}: read both again, or it is a doubler.");

        var bare = new RectifierAsked(circuit, ac, given[Ohms]!.Value, given.Need(Farads), wanted / amps, given[Hertz]!.Value);
        var without = Rectifying.Solve(bare);
        var ohms = Rectifying.DropperFor(bare, wanted);
        tally.Figure("bare", "Rail with silicon and no resistor", without.Volts, "V", "about");
        tally.Figure("dropper", "Dropping resistor", ohms, "Ω", "about");
        if (ohms < 0.5) tally.Why($"The supply itself drops enough: silicon alone gives about {Engineering.Say(without.Volts, "V")}.");
        else Series(tally, given, bare, ohms, wanted);

        // With nothing drawn no resistor drops anything: the filter charges to the peak of high line.
        var cold = peak * line;
        var filter = given.Need(Filter);
        tally.Figure("cold", "Filter sees with no load, at high line", cold, "V").Figure("filter", "Filter rating", filter, "V");
        if (cold > filter && given[Heaters] == "cold")
            tally.No($"While nothing draws, the filter stands at {Engineering.Say(cold, "V")} and is rated {Engineering.Say(filter, "V")}. The resistor does not help: without current it drops nothing. Fit capacitors of {Engineering.Say(cold * 1.1, "V")} or more, or keep {(given[Old] == "tube" ? "the tube" : "a slow start")}.");
        else if (cold > filter) tally.Mind($"With the boards out the filter would stand at {Engineering.Say(cold, "V")}, above its {Engineering.Say(filter, "V")}: never power the supply unloaded.");

        tally.AtLeast(Piv, Rectifying.BlockedVolts(circuit, ac * line) * 4 / 3, "high line, and the surges of an old house");
        if (given[Old] == "selenium") tally.Mind("Selenium that fails stinks and its fumes are poisonous: window open, no breathing over it, into a bag and to special waste.");
        if (given[Old] == "tube") tally.Mind("The tube’s heater no longer draws: in a series string it must be replaced by a resistor, and the warm-up is gone.");
        tally.Mind("Silicon fails as a short: the fuse stays exactly as marked. Read the rail warm and loaded before a good piece goes in.");
        return tally.Close("With that resistor it may go in.", ohms < 0.5 ? "Silicon may go in without a resistor." : $"Silicon needs about {Engineering.Say(Preferred.Nearest(ohms, Preferred.E12), "Ω")} in series.");
    }

    private static void Series(Tally tally, Given given, RectifierAsked bare, double ohms, double wanted)
    {
        var with = Rectifying.Solve(bare with { SourceOhms = bare.SourceOhms + ohms });
        var heat = with.SeriesRms * with.SeriesRms * ohms;
        tally.Figure("heat", "The resistor’s heat", heat, "W").Figure("rms", "RMS current through it", with.SeriesRms, "A");
        tally.AtLeast(Dropper, ohms * 0.85, $"the rail would stand above {Engineering.Say(wanted, "V")}").AtMost(Dropper, ohms * 1.15, "the rail would hang low");
        tally.AtLeast(Watts, 2 * heat, "half its rating keeps it from charring the board; it carries pulses, not the mean");
        tally.Why($"Silicon alone would lift the rail to about {Engineering.Say(Rectifying.Solve(bare).Volts, "V")}; {Engineering.Say(ohms, "Ω")} between rectifier and reservoir brings it back to {Engineering.Say(wanted, "V")} at this load.");
        tally.Mind("Wirewound, away from wax and plastic, before the reservoir. Begin with the next higher value and read the rail.");
    }
}
