using System.Collections.Immutable;
using Bellwire.Quantities;

namespace Bellwire.Counsel.Mends;

/// <summary>A resistor: made values (IEC 60063), colours (IEC 60062), power from the RMS current, twice the heat as rating: common practice, no source.</summary>
public sealed class ResistorRule : MendRule
{
    private static readonly NumberAsk Ohms = new("ohms", "Marked ohms", "Ω", 0.1, 1e8) { Required = true };
    private static readonly NumberAsk Tolerance = new("tolerance", "Marked tolerance", "%", 0.1, 20) { Usual = 10 };
    private static readonly NumberAsk Watts = new("watts", "Marked watts", "W", 0.05, 200);
    private static readonly NumberAsk Amps = new("amps", "RMS current through it", "A", 0, 20) { Hint = "With pulses this is more than the mean: see “Supply and ripple”." };
    private static readonly ChoiceAsk Kind = new("kind", "The old one is", ("ordinary", "ordinary"), ("fusible", "fusible or flame-proof"), ("wire", "wirewound"));
    private static readonly NumberAsk New = new("new", "Its ohms", "Ω", 0.1, 1e8) { OfNewPart = true, Like = "ohms" };
    private static readonly NumberAsk NewWatts = new("newwatts", "Its watts", "W", 0.05, 500) { OfNewPart = true, Like = "watts" };
    private static readonly NumberAsk NewVolts = new("newvolts", "Its working volts", "V", 50, 5000) { OfNewPart = true };
    private static readonly ChoiceAsk NewKind = new("newkind", "It is", ("ordinary", "film"), ("fusible", "fusible"), ("wire", "wirewound"), ("composition", "carbon composition")) { OfNewPart = true };

    public override string Id => "resistor";
    public override string Title => "Resistor";
    public override string About => "The made value, its colours, and the rating its heat asks for.";
    public override ImmutableArray<Ask> Asks { get; } = [Ohms, Tolerance, Watts, Amps, Kind, New, NewWatts, NewVolts, NewKind];

    public override Finding Answer(Given given)
    {
        var tally = Weigh(given);
        var (ohms, tolerance) = (given.Need(Ohms), given[Tolerance]!.Value);
        var made = Preferred.Nearest(ohms, tolerance >= 10 ? Preferred.E12 : Preferred.E24);
        if (Math.Abs(made / ohms - 1) > tolerance / 100) made = Preferred.Nearest(ohms, Preferred.E24);
        tally.Figure("made", "Nearest made value", made, "Ω");
        tally.Why($"Its colours, 5 %: {Preferred.Bands(made, 5)}.");
        tally.AtLeast(New, ohms * (1 - tolerance / 100), "outside the marked tolerance").AtMost(New, ohms * (1 + tolerance / 100), "outside the marked tolerance");

        var heat = given[Amps] is { } amps ? amps * amps * ohms : (double?)null;
        var need = Math.Max(given[Watts] ?? 0, 2 * heat ?? 0);
        if (heat is { } w) tally.Figure("heat", "Heat in it", w, "W").Figure("drop", "Volts across it", given[Amps]!.Value * ohms, "V");
        if (need > 0) tally.AtLeast(NewWatts, need, heat * 2 >= need ? "twice the heat keeps it cool" : "not below what is marked");
        else tally.Mind("Neither watts nor current are given: go by the size of the old one, not smaller.");
        if (heat > given[Watts]) tally.Mind($"It makes {Engineering.Say(heat!.Value, "W")} and was marked {Engineering.Say(given[Watts]!.Value, "W")}: something draws too much. Find it first.");
        if (given[Amps] * ohms > 200) tally.AtLeast(NewVolts, given[Amps]!.Value * ohms, "a small body arcs at high volts; two in series share them", must: false);

        if (given[Kind] == "fusible" && given[NewKind] != "fusible" && tally.Proposed) tally.No("The old one was there to open without fire: only a fusible one may follow it.");
        if (given[Kind] == "fusible") tally.Why("An open fusible resistor is a result, like a blown fuse: find what drew the current.");
        if (given[NewKind] == "wire" && given[Kind] != "wire") tally.Mind("Wirewound is also a coil: not in high-frequency places.");
        if (given[NewKind] == "composition") tally.Mind("Old stock composition drifts upwards: measure it before it goes in.");
        return tally.Close("It fits.", $"Look for {Engineering.Say(made, "Ω")}{(need > 0 ? $", {Engineering.Say(need, "W")} or more" : "")}.");
    }
}
