using System.Collections.Immutable;
using System.Globalization;
using Bellwire.Quantities;

namespace Bellwire.Counsel.Mends;

/// <summary>Life of an electrolytic by the 10 °C rule, and the ESR a new part of its kind has.</summary>
public sealed class CapacitorLifeSum : Calculation
{
    private static readonly NumberAsk Hours = new("hours", "Rated hours", "h", 100, 50000) { Required = true };
    private static readonly NumberAsk Rated = new("rated", "Rated temperature", "°C", 40, 150) { Usual = 105 };
    private static readonly NumberAsk Place = new("place", "Temperature where it sits", "°C", 0, 150) { Required = true };
    private static readonly NumberAsk Day = new("day", "Hours a day under power", "h", 0.5, 24) { Usual = 24 };
    private static readonly NumberAsk Farads = new("farads", "Capacitance", "F", 1e-7, 1) { Prefix = "µ" };
    private static readonly NumberAsk Volts = new("volts", "Rated volts", "V", 2, 450);

    public override string Id => "capacitor-life";
    public override string Title => "Capacitor life and ESR";
    public override string About => "How long an electrolytic should live where it sits, and what ESR a new one has.";
    public override ImmutableArray<Ask> Asks { get; } = [Hours, Rated, Place, Day, Farads, Volts];

    public override Finding Answer(Given given)
    {
        var tally = Weigh(given);
        var (place, rated) = (given.Need(Place), given[Rated]!.Value);
        if (given[Farads] is { } farads && given[Volts] is { } volts)
            tally.Figure("esr", "ESR of a new one, 120 Hz", Capacitors.Esr(Capacitors.TanDelta(farads, volts), 120, farads), "Ω", "at most").Figure("worn", "worn out, by the makers", 2 * Capacitors.Esr(Capacitors.TanDelta(farads, volts), 120, farads), "Ω", "at least");
        if (place > rated) return tally.NoAdvice($"{Engineering.Say(place, "°C")} is above what it is made for ({Engineering.Say(rated, "°C")}): no rule covers that.");
        var hours = Capacitors.Life(given.Need(Hours), rated, place);
        var years = hours / (given[Day]!.Value * 365.25);
        tally.Figure("hours", "Life", hours, "h", "about").Figure("years", "that is", years, "years", "about");
        if (place < 60) tally.Mind("Below 60 °C the rule promises too much.");
        if (years > 15) tally.Mind("The seal gives up after some fifteen years whatever the rule says.");
        tally.Mind("Its own ripple heats it: add some 5 °C where it carries its rated ripple.");
        return tally.Reckoned(string.Create(CultureInfo.InvariantCulture, $"About {Math.Round(hours / 100) * 100:0} hours, {years:0.#} years at {given[Day]:0.#} hours a day."));
    }
}
