using System.Collections.Immutable;
using System.Globalization;
using Bellwire.Quantities;

namespace Bellwire.Counsel.Mends;

/// <summary>A run of wire there and back: ohms, volts lost, and the thinnest that would do. Copper by ASTM B258 and IEC 60028 (see Wires).</summary>
public sealed class WireRunSum : Calculation
{
    private static readonly NumberAsk Length = new("length", "Length, one way", "m", 0.1, 2000) { Required = true, Hint = "Metres, or feet as 100 ft." };
    private static readonly NumberAsk Gauge = new("gauge", "Gauge, AWG", "", 4, 36) { Hint = "Either this or the cross-section." };
    private static readonly NumberAsk Area = new("area", "Cross-section, mm²", "", 0.01, 50);
    private static readonly NumberAsk Volts = new("volts", "Volts at the source", "V", 0.1, 250) { Required = true };
    private static readonly NumberAsk Amps = new("amps", "Current drawn", "A", 0.001, 20) { Hint = "Either this or the load’s ohms." };
    private static readonly NumberAsk Load = new("load", "Ohms of the load", "Ω", 0.5, 100000);
    private static readonly NumberAsk Lost = new("lost", "May be lost", "%", 0.5, 50) { Usual = 10 };
    private static readonly NumberAsk Warm = new("warm", "Temperature of the wire", "°C", -20, 90) { Usual = 20 };

    public override string Id => "wire";
    public override string Title => "Wire run";
    public override string About => "Volts lost on the way, and the thinnest wire that would do.";
    public override ImmutableArray<Ask> Asks { get; } = [Length, Gauge, Area, Volts, Amps, Load, Lost, Warm];

    public override Finding Answer(Given given)
    {
        var tally = Weigh(given);
        var (length, volts, warm) = (given.Need(Length), given.Need(Volts), given[Warm]!.Value);
        double Loop(double area) => 2 * length * Wires.OhmsPerMetre(area, warm);
        double At(double loop) => given[Load] is { } load ? volts * load / (load + loop) : volts - (given[Amps] ?? 0) * loop;
        if (given[Load] is null && given[Amps] is null) return tally.NoAdvice("Give the current drawn, or the ohms of the load.");

        var thinnest = Enumerable.Range(4, 33).Reverse().FirstOrDefault(g => At(Loop(Wires.Area(g))) >= volts * (1 - given[Lost]!.Value / 100), -1);
        if (thinnest > 0) tally.Figure("thinnest", "Thinnest wire that loses no more", thinnest, "AWG").Figure("thinnest-area", "its cross-section", Wires.Area(thinnest), "mm²");
        var area = given[Area] ?? (given[Gauge] is { } gauge ? Wires.Area(gauge) : (double?)null);
        if (area is not { } mm) return tally.Reckoned(thinnest > 0 ? string.Create(CultureInfo.InvariantCulture, $"{thinnest} AWG or thicker loses no more than {given[Lost]:0.#} %.") : "No wire from 4 AWG down loses so little: shorten the run or raise the volts.");
        var loop = Loop(mm);
        var there = At(loop);
        tally.Figure("loop", "Ohms there and back", loop, "Ω").Figure("drop", "Volts lost", volts - there, "V").Figure("there", "Volts at the far end", there, "V");
        if (given[Load] is { } ohms) tally.Figure("loss", "Level lost", -20 * Math.Log10(ohms / (ohms + loop)), "dB");
        if (there <= 0) return tally.Reckoned("Nothing would be left at the far end: this current cannot flow over this run.");
        if (there < volts * (1 - given[Lost]!.Value / 100)) tally.Mind($"That is more than {given[Lost]!.Value.ToString("0.#", CultureInfo.InvariantCulture)} %.");
        tally.Mind("Copper, as drawn. A joint, a thin flying lead or a green terminal loses as much again: read it under load.");
        return tally.Reckoned($"{Engineering.Say(there, "V")} arrive of {Engineering.Say(volts, "V")}.");
    }
}
