using System.Collections.Immutable;
using Bellwire.Quantities;

namespace Bellwire.Counsel.Mends;

/// <summary>A rectifier and its reservoir, solved in steady state (docs/engines/mends.md).</summary>
public sealed class SupplySum : Calculation
{
    private static readonly ChoiceAsk Circuit = new("circuit", "Circuit", ("centre", "two diodes on a centre tap"), ("bridge", "bridge"), ("half", "half wave"));
    private static readonly NumberAsk Volts = new("ac", "AC of the winding", "V", 1, 1000) { Required = true, Hint = "From the tap to one end, with a centre tap." };
    private static readonly NumberAsk Ohms = new("ohms", "Ohms of the winding", "Ω", 0.01, 10000) { Usual = 1, Hint = "Of one half, with a centre tap; primary counted in." };
    private static readonly NumberAsk Farads = new("farads", "Reservoir", "F", 1e-6, 0.2) { Prefix = "µ", Required = true };
    private static readonly NumberAsk Esr = new("esr", "Its ESR", "Ω", 0, 100) { Usual = 0 };
    private static readonly NumberAsk Amps = new("amps", "DC drawn", "A", 0.001, 50) { Required = true };
    private static readonly NumberAsk Hertz = new("hertz", "Line frequency", "Hz", 45, 65) { Usual = 60 };
    private static readonly NumberAsk High = new("high", "High line, above nominal", "%", 0, 25) { Usual = 10 };

    public override string Id => "supply";
    public override string Title => "Supply and ripple";
    public override string About => "Raw DC, ripple and the currents a winding, rectifier and reservoir see.";
    public override ImmutableArray<Ask> Asks { get; } = [Circuit, Volts, Ohms, Farads, Esr, Amps, Hertz, High];

    public override Finding Answer(Given given)
    {
        var tally = Weigh(given);
        var circuit = RectifierRule.CircuitOf(given[Circuit]);
        var (ac, amps, hertz, farads) = (given.Need(Volts), given.Need(Amps), given[Hertz]!.Value, given.Need(Farads));
        var asked = new RectifierAsked(circuit, ac, given[Ohms]!.Value, farads, ac * Math.Sqrt(2) / amps, hertz, given[Esr]!.Value);
        if (Rectifying.LoadFor(asked, amps) is not { } load) return tally.NoAdvice($"This winding cannot give {Engineering.Say(amps, "A")} through {Engineering.Say(given[Ohms]!.Value, "Ω")}.");
        var found = Rectifying.Solve(asked with { LoadOhms = load });
        tally.Figure("volts", "Raw DC, mean", found.Volts, "V").Figure("ripple", "Ripple, peak to peak", found.RipplePp, "V").Figure("hertz", "Ripple frequency", found.RippleHertz, "Hz")
            .Figure("lowest", "Lowest of the ripple", found.Lowest, "V").Figure("winding", circuit == RectifierCircuit.CentreTap ? "Each half winding, RMS" : "Winding, RMS", found.WindingRms, "A")
            .Figure("capacitor", "Reservoir’s ripple current, RMS", Math.Sqrt(Math.Max(0, found.SeriesRms * found.SeriesRms - found.LoadAmps * found.LoadAmps)), "A")
            .Figure("peak", "Peak through a diode", found.PeakAmps, "A").Figure("open", "With nothing drawn, at high line", ac * Math.Sqrt(2) * (1 + given[High]!.Value / 100), "V")
            .Figure("blocked", "Each diode blocks, at high line", Rectifying.BlockedVolts(circuit, ac * (1 + given[High]!.Value / 100)), "V")
            .Figure("bound", "Ripple by I ÷ (f·C)", Rectifying.RippleBound(circuit, found.LoadAmps, hertz, farads), "V", "at most");
        tally.Why("Ripple at twice the line with both half waves; at the line itself one diode, or one half of the winding, is out.");
        if (!found.Converged) tally.Mind("It had not quite settled: take the figures as rough.");
        return tally.Reckoned($"About {Engineering.Say(found.Volts, "V")} with {Engineering.Say(found.RipplePp, "V")} of ripple, peak to peak, at {Engineering.Say(found.RippleHertz, "Hz")}.");
    }
}
