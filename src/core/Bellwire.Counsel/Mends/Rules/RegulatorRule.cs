using System.Collections.Immutable;
using Bellwire.Quantities;

namespace Bellwire.Counsel.Mends;

/// <summary>A three-terminal regulator: drop-out at the trough of the ripple, heat, and which way the legs are. Formulas of the data sheets of the 78xx kind
/// (junction = air + watts × °C/W; drop-out 2 V at 1 A; 125 °C).</summary>
public sealed class RegulatorRule : MendRule
{
    private static readonly NumberAsk Out = new("out", "Rail it holds", "V", 1.2, 60) { Required = true, Hint = "Size only; the sign is asked for below." };
    private static readonly ChoiceAsk Sign = new("sign", "The rail is", ("positive", "positive"), ("negative", "negative"));
    private static readonly NumberAsk In = new("in", "Raw DC in, mean", "V", 3, 80) { Required = true };
    private static readonly NumberAsk Ripple = new("ripple", "Ripple on it, peak to peak", "V", 0, 30) { Usual = 0 };
    private static readonly NumberAsk Low = new("low", "Low line, below nominal", "%", 0, 25) { Usual = 10 };
    private static readonly NumberAsk Amps = new("amps", "Current of the rail", "A", 0.001, 10) { Required = true };
    private static readonly NumberAsk Idle = new("idle", "Its own current", "A", 0, 0.1) { Usual = 0.005 };
    private static readonly NumberAsk Air = new("air", "Air around it, set closed", "°C", 0, 85) { Usual = 40 };
    private static readonly NumberAsk Sink = new("sink", "Heatsink at hand", "°C/W", 0.5, 100) { Hint = "Empty: none." };
    private static readonly NumberAsk NewOut = new("newout", "Its volts", "V", 1.2, 60) { OfNewPart = true, Like = "out" };
    private static readonly ChoiceAsk NewSign = new("newsign", "It is for", ("", "not known"), ("positive", "a positive rail"), ("negative", "a negative rail")) { OfNewPart = true };
    private static readonly NumberAsk NewAmps = new("newamps", "Its current", "A", 0.01, 20) { OfNewPart = true, Like = "amps" };
    private static readonly NumberAsk MostIn = new("mostin", "Its highest input", "V", 5, 100) { Usual = 35, OfNewPart = true };
    private static readonly NumberAsk DropOut = new("dropout", "Its drop-out", "V", 0.1, 5) { Usual = 2, OfNewPart = true };
    private static readonly NumberAsk Bare = new("bare", "Its junction to air, bare", "°C/W", 10, 250) { Usual = 65, OfNewPart = true };
    private static readonly NumberAsk Case = new("case", "Its junction to case", "°C/W", 0.2, 50) { Usual = 5, OfNewPart = true };
    private static readonly NumberAsk Junction = new("junction", "Its hottest junction", "°C", 70, 200) { Usual = 125, OfNewPart = true };

    /// <summary>°C a watt of mica and grease: a TO-220 pad, common practice.</summary>
    private const double Pad = 0.5;

    public override string Id => "regulator";
    public override string Title => "Regulator";
    public override string About => "Whether a regulator holds the rail at low line and stays cool enough.";
    public override ImmutableArray<Ask> Asks { get; } = [Out, Sign, In, Ripple, Low, Amps, Idle, Air, Sink, NewOut, NewSign, NewAmps, MostIn, DropOut, Bare, Case, Junction];

    public override Finding Answer(Given given)
    {
        var tally = Weigh(given);
        var (rail, raw, amps) = (given.Need(Out), given.Need(In), given.Need(Amps));
        var trough = raw * (1 - given[Low]!.Value / 100) - given[Ripple]!.Value / 2;
        var spare = trough - rail - given[DropOut]!.Value;
        tally.Figure("trough", "Lowest input, low line and bottom of the ripple", trough, "V").Figure("spare", "To spare above drop-out", spare, "V");
        if (spare < 0) tally.No($"At low line the input dips to {Engineering.Say(trough, "V")}, and it needs {Engineering.Say(rail + given[DropOut]!.Value, "V")}: hum breaks through. Mend the reservoir first, or take a low-drop part.");

        var watts = (raw - rail) * amps + raw * given[Idle]!.Value;
        if (raw <= rail) return tally.NoAdvice("The raw input is not above the rail: nothing there to regulate. Look at the supply first.");
        var bare = given[Air]!.Value + watts * given[Bare]!.Value;
        var most = given[Junction]!.Value;
        tally.Figure("watts", "Heat in it", watts, "W").Figure("bare", "Junction without a heatsink", bare, "°C");
        if (given[Sink] is { } sink)
        {
            var hot = given[Air]!.Value + watts * (given[Case]!.Value + Pad + sink);
            tally.Figure("hot", "Junction on this heatsink", hot, "°C");
            if (hot > most) tally.No($"On this heatsink the junction comes to {Engineering.Say(hot, "°C")}, above {Engineering.Say(most, "°C")}.");
        }
        else if (bare > most)
        {
            var need = (most - given[Air]!.Value) / watts - given[Case]!.Value - Pad;
            if (need > 0) tally.Figure("sink", "Heatsink", need, "°C/W", "at most").Mind($"Not without a heatsink: bare it comes to {Engineering.Say(bare, "°C")}. One of {Engineering.Say(need, "°C/W")} or better is needed.");
            else tally.No($"{Engineering.Say(watts, "W")} cannot leave this package with any heatsink: less input, or a larger package.");
        }
        Match(tally, given, rail, raw, amps);
        tally.Mind("Compare the legs: positive and negative kinds are wired differently, and the tab is not always common. Insulate it if the old one was.");
        tally.Mind("First power into dummy loads with the logic boards out: a shorted regulator puts the raw rail on the processor.");
        return tally.Close("It fits.", $"Look for {Engineering.Say(rail, "V")}, {Engineering.Say(amps, "A")} or more, {(given[Sign] == "negative" ? "for a negative rail" : "for a positive rail")}.");
    }

    private static void Match(Tally tally, Given given, double rail, double raw, double amps)
    {
        if (given[MostIn] is { } top && raw * 1.1 > top) tally.No($"{Engineering.Say(raw * 1.1, "V")} at high line is more than its input bears ({Engineering.Say(top, "V")}).");
        tally.AtLeast(NewAmps, amps * 1.25, "a quarter to spare", must: true);
        if (given[NewOut] is { } volts && Math.Abs(volts - rail) > 0.02 * rail) tally.No($"{Engineering.Say(volts, "V")} is not the rail’s {Engineering.Say(rail, "V")}.");
        if (tally.Proposed && !given.Has(NewOut)) tally.No("Its volts are not known.");
        if (given[NewSign].Length > 0 && given[NewSign] != given[Sign]) tally.No($"It is for a {given[NewSign]} rail; this one is {given[Sign]}.");
        if (tally.Proposed && given[NewSign].Length == 0) tally.No("Whether it is for a positive or a negative rail is not known.");
    }
}
