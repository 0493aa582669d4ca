using System.Collections.Immutable;
using Bellwire.Quantities;

namespace Bellwire.Counsel.Mends;

/// <summary>How long a capacitor stays dangerous, at least. t = R·C·ln(V0/V1). Never a permission: a bleeder may be open.</summary>
public sealed class DischargeSum : Calculation
{
    private static readonly NumberAsk Farads = new("farads", "Capacitance", "F", 1e-9, 1) { Prefix = "µ", Required = true };
    private static readonly NumberAsk From = new("from", "Volts on it", "V", 0.1, 2000) { Required = true };
    private static readonly NumberAsk Ohms = new("ohms", "Through", "Ω", 1, 1e8) { Required = true };
    private static readonly ChoiceAsk What = new("what", "Before", ("hands", "hands go in: below 10 V"), ("board", "a solid-state board is fitted: below 0.5 V"), ("own", "a voltage of your own"));
    private static readonly NumberAsk To = new("to", "Down to", "V", 0.01, 1000) { Usual = 10 };

    public override string Id => "discharge";
    public override string Title => "Discharge time";
    public override string About => "How long it takes at least until a capacitor is down.";
    public override ImmutableArray<Ask> Asks { get; } = [Farads, From, Ohms, What, To];

    public override Finding Answer(Given given)
    {
        var tally = Weigh(given);
        var (farads, from, ohms) = (given.Need(Farads), given.Need(From), given.Need(Ohms));
        var to = given[What] switch { "hands" => 10, "board" => 0.5, _ => given[To]!.Value };
        var seconds = Capacitors.Discharge(ohms, farads, from, to);
        tally.Figure("seconds", $"Down to {Engineering.Say(to, "V")}", seconds, "s", "at least").Figure("joules", "Energy in it", 0.5 * farads * from * from, "J")
            .Figure("watts", "Heat in the resistor at first", from * from / ohms, "W").Figure("amps", "Current at first", from / ohms, "A");
        tally.Mind("This is no permission. A bleeder may be open and a load may be off: measure, and only what was measured counts as discharged.");
        tally.Mind("Never short it with a screwdriver: an insulated resistor of a few watts, and the meter stays on.");
        if (0.5 * farads * from * from > 0.35 || from > 60) tally.Mind("This one hurts or worse: one hand, insulated leads, resistor first.");
        return tally.Reckoned(from <= to ? $"It stands below {Engineering.Say(to, "V")} if that is what was measured." : $"At least {Engineering.Say(seconds, "s")} – then measure.");
    }
}
