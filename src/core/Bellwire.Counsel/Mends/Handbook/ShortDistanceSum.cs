using System.Collections.Immutable;
using Bellwire.Quantities;

namespace Bellwire.Counsel.Mends;

/// <summary>How far away a short sits, from the ohms of the loop.</summary>
public sealed class ShortDistanceSum : Calculation
{
    private static readonly NumberAsk Loop = new("loop", "Ohms of the pair, station lifted", "Ω", 0.01, 2000) { Required = true, Hint = "Short the meter’s leads first and take their ohms off." };
    private static readonly NumberAsk Leads = new("leads", "Ohms of the meter’s leads", "Ω", 0, 5) { Usual = 0 };
    private static readonly NumberAsk Gauge = new("gauge", "Gauge, AWG", "", 4, 36) { Required = true };
    private static readonly NumberAsk Warm = new("warm", "Temperature of the wire", "°C", -20, 90) { Usual = 20 };

    public override string Id => "short";
    public override string Title => "Distance to a short";
    public override string About => "How far along a run two wires touch.";
    public override ImmutableArray<Ask> Asks { get; } = [Loop, Leads, Gauge, Warm];

    public override Finding Answer(Given given)
    {
        var tally = Weigh(given);
        var ohms = given.Need(Loop) - given[Leads]!.Value;
        if (ohms <= 0) return tally.NoAdvice("The leads alone have as much: the short is at the meter, or it must be read finer.");
        var metres = ohms / 2 / Wires.OhmsPerMetre(Wires.Area(given.Need(Gauge)), given[Warm]!.Value);
        tally.Figure("metres", "Distance", metres, "m", "at most").Figure("feet", "the same", metres / 0.3048, "ft", "at most");
        tally.Why("Where the short itself has ohms – a nail, damp, a staple – the true place is nearer.");
        tally.Mind("Both ends lifted and nothing powered. Read it from the other end too: the two distances should add up to the run.");
        return tally.Reckoned($"At most {Engineering.Say(metres, "m")} ({Engineering.Say(metres / 0.3048, "ft")}) away.");
    }
}
