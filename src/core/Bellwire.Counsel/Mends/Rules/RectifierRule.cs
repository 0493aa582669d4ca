using System.Collections.Immutable;
using Bellwire.Quantities;

namespace Bellwire.Counsel.Mends;

/// <summary>A silicon diode or bridge for one that failed. Blocking voltage: 2·peak (half wave, centre tap) or the peak (bridge), textbook; a third more for surges,
/// and a rated mean of twice what each diode carries: common practice, no source.</summary>
public sealed class RectifierRule : MendRule
{
    private static readonly ChoiceAsk Circuit = new("circuit", "Circuit", ("centre", "two diodes on a centre tap"), ("bridge", "bridge"), ("half", "half wave"));
    private static readonly NumberAsk Volts = new("ac", "AC of the winding", "V", 1, 1000) { Required = true, Hint = "From the tap to one end, with a centre tap." };
    private static readonly NumberAsk Amps = new("amps", "DC the set draws", "A", 0.001, 50) { Required = true };
    private static readonly NumberAsk High = new("high", "High line, above nominal", "%", 0, 25) { Usual = 10 };
    private static readonly NumberAsk Ohms = new("ohms", "Ohms of the winding", "Ω", 0.01, 10000) { Hint = "Of one half, with a centre tap; for the switch-on surge." };
    private static readonly NumberAsk Piv = new("piv", "Its blocking voltage", "V", 10, 5000) { OfNewPart = true };
    private static readonly NumberAsk Mean = new("mean", "Its mean current", "A", 0.01, 100) { OfNewPart = true };
    private static readonly NumberAsk Surge = new("surge", "Its one-cycle surge current", "A", 0.1, 2000) { OfNewPart = true };

    public override string Id => "rectifier";
    public override string Title => "Rectifier, silicon for silicon";
    public override string About => "What a diode or bridge must block and carry in this supply.";
    public override ImmutableArray<Ask> Asks { get; } = [Circuit, Volts, Amps, High, Ohms, Piv, Mean, Surge];

    internal static RectifierCircuit CircuitOf(string word) => word switch { "centre" => RectifierCircuit.CentreTap, "bridge" => RectifierCircuit.Bridge, _ => RectifierCircuit.HalfWave };

    public override Finding Answer(Given given)
    {
        var tally = Weigh(given);
        var circuit = CircuitOf(given[Circuit]);
        var rms = given.Need(Volts) * (1 + given[High]!.Value / 100);
        var blocked = Rectifying.BlockedVolts(circuit, rms);
        var mean = given.Need(Amps) / (circuit == RectifierCircuit.HalfWave ? 1 : 2);
        tally.Figure("blocked", "Each diode blocks, at high line", blocked, "V").Figure("mean", "Each diode carries, mean", mean, "A");
        tally.AtLeast(Piv, blocked * 4 / 3, "high line, and the surges of an old house").AtLeast(Mean, 2 * mean, "half its rating keeps it cool");
        if (given[Ohms] is { } ohms)
        {
            var surge = rms * Math.Sqrt(2) / ohms;
            tally.Figure("surge", "First half cycle, at most", surge, "A");
            tally.AtLeast(Surge, surge, "an empty reservoir is a short for the first half cycle", must: false);
        }
        tally.Mind("Why did it go? Ohm the reservoir and the rail before the new one sees power, then come up on a limited feed.");
        tally.Mind("In place of selenium or a tube this is not enough: see “Silicon for selenium or a tube”.");
        return tally.Close("It fits.", $"Look for {Engineering.Say(blocked * 4 / 3, "V")} and {Engineering.Say(2 * mean, "A")} or more a diode.");
    }
}
