using System.Collections.Immutable;
using Bellwire.Quantities;

namespace Bellwire.Counsel.Mends;

/// <summary>A fuse: the marking on the set rules; no marking, no advice; never a higher or slower one. A blown fuse is a result.
/// Ratings and times: IEC 60127 and UL 248-14 (a maker's selection guide, p. 12: opens at 135 % within an hour; IEC: carries 150 % for an hour);
/// the rules themselves: common practice, no source.</summary>
public sealed class FuseRule : MendRule
{
    private static readonly TextAsk Marked = new("marked", "Marking on the set or in its papers") { Hint = "As printed: T500mA L 250V, 1/2 A slow. Leave it empty when there is none: what sits in the holder is no marking." };
    private static readonly ChoiceAsk Place = new("place", "Where it sits", ("line", "in the line"), ("tap", "in the centre tap or a winding"), ("rail", "in a DC rail"));
    private static readonly ChoiceAsk Look = new("look", "How the old one looks", ("", "not looked at"), ("whole", "whole, and ohms say so"), ("melted", "melted in the middle, glass clear"), ("black", "black or silvered glass"), ("silent", "open, nothing to see"));
    private static readonly ChoiceAsk Again = new("again", "Has it blown before?", ("no", "no"), ("yes", "yes, a new one went too"));
    private static readonly TextAsk New = new("new", "Marking of the new one") { OfNewPart = true };
    private static readonly ChoiceAsk Made = new("made", "The new one is made to", ("", "not known"), ("iec", "the IEC standard"), ("american", "the North American standard")) { OfNewPart = true };
    private static readonly ChoiceAsk Set = new("set", "The set comes from", ("", "not known"), ("american", "North America"), ("elsewhere", "elsewhere"));

    public override string Id => "fuse";
    public override string Title => "Fuse";
    public override string About => "Whether a fuse may go in, and what may have blown the old one.";
    public override ImmutableArray<Ask> Asks { get; } = [Marked, Place, Look, Again, Set, New, Made];

    public override Finding Answer(Given given)
    {
        var tally = Weigh(given);
        Blown(tally, given);
        if (!given.Has(Marked))
            return tally.Mind("Look for it on the chassis, the label, the papers and on a sister set.").NoAdvice("No marking, no advice. What sat in the holder may be somebody’s stopgap.");
        if (FuseMarking.Parse(given[Marked], out var why) is not { } marked) return tally.NoAdvice($"The marking cannot be read: {why}");
        tally.Figure("amps", "Marked current", marked.Amps, "A");
        if (marked.Volts is { } volts) tally.Figure("volts", "Volts at least", volts, "V");
        tally.Why($"The set asks for {marked.Said}. It was chosen for the wires and windings behind it, not for the load.");
        if (marked.Speed is null) tally.Mind("No speed is marked, so only a quick or unmarked one is judged fitting.");
        tally.Mind("Same size of body, no wire or foil, no bridging, not even for a test.");
        if (given[Again] == "yes") tally.Mind("It has blown twice: a third one is no finding. Find the load first, on a limited feed.");
        if (given.Has(New)) Judge(tally, given, marked);
        return tally.Close($"It is what the marking asks for: {marked.Said}.", $"Fit exactly {marked.Said}.");
    }

    private static void Judge(Tally tally, Given given, FuseMarking marked)
    {
        if (FuseMarking.Parse(given[New], out var why) is not { } fresh) { tally.No($"The new one cannot be judged: {why}"); return; }
        if (fresh.Amps > marked.Amps * 1.0001) tally.No($"{Engineering.Say(fresh.Amps, "A")} is higher than the {Engineering.Say(marked.Amps, "A")} marked: the winding or the wire becomes the fuse.");
        if (fresh.Amps < marked.Amps * 0.9999) tally.No($"{Engineering.Say(fresh.Amps, "A")} is lower than the {Engineering.Say(marked.Amps, "A")} marked: no danger, but it opens at switch-on and tells a lie about the set.");
        var asked = marked.Speed ?? 1;
        if (fresh.Speed is { } speed && speed > asked) tally.No(marked.Speed is null ? "It is slower than quick, and the marking does not ask for a slow one." : "It is slower than marked: the fault burns on while it waits.");
        if (fresh.Speed is { } quick && marked.Speed is { } and && quick < and) tally.No("It is quicker than marked: no danger, but it opens at switch-on.");
        if (fresh.Speed is null && marked.Speed is not null) tally.No("Its speed is not marked, and the set asks for one.");
        if (marked.Volts is { } need && fresh.Volts is null) tally.No($"Its voltage is not marked; at least {Engineering.Say(need, "V")} is asked for.");
        if (marked.Volts is { } least && fresh.Volts < least) tally.No($"{Engineering.Say(fresh.Volts!.Value, "V")} is less than the {Engineering.Say(least, "V")} marked: an arc may go on burning in it.");
        if (Rank(marked.Breaking) > Rank(fresh.Breaking)) tally.No("The set asks for a higher breaking capacity: a glass one may burst on a hard short.");
        if (given[Made] == "iec" && given[Set] == "american") tally.No("The same number means less there: a North American fuse opens within an hour at 1.35 times its rating, an IEC one carries 1.5 times. In this set it would be a higher one.");
        if (given[Made] == "american" && given[Set] == "elsewhere") tally.Mind("A North American fuse of the same number opens a little earlier than an IEC one: no danger, perhaps a nuisance.");
    }

    private static int Rank(char? breaking) => breaking switch { 'H' => 2, 'E' => 1, _ => 0 };

    /// <summary>What may have done it, likeliest first. Common practice, no source.</summary>
    private static void Blown(Tally tally, Given given)
    {
        var look = given[Look];
        if (look is "" or "whole") return;
        if (look == "silent") { tally.Why("Open with nothing to see: tired by switch-on pulses, a cracked end, or the holder. Ohm the holder too, and see whether somebody fitted a larger reservoir."); return; }
        var hard = look == "black";
        var suspects = (given[Place], hard) switch
        {
            ("line", true) => "a shorted rectifier diode, a shorted winding, a capacitor from line to chassis, the cord",
            ("line", false) => "shorted turns (the transformer grows hot with nothing connected), a leaky reservoir, a foreign load on the winding",
            ("tap", true) => "a shorted rectifier diode, a shorted reservoir, a foreign supply that reached a door or room terminal",
            ("tap", false) => "a shorted run to a station, the output stage, a regulator that lets too much through",
            (_, true) => "the output stage shorted, a capacitor across the rail, a solder bridge",
            _ => "a shorted run to a station, a lamp socket touching, a leaky capacitor on the rail",
        };
        tally.Why($"{(hard ? "A black or silvered glass: it went hard, on a short" : "A melted middle in clear glass: it went slowly, on an overload")}. What may have blown it: {suspects}.");
    }
}
