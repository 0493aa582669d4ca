using System.Collections.Immutable;
using Bellwire.Quantities;

namespace Bellwire.Counsel.Mends;

/// <summary>A speaker by its impedance. P = V²/Z; matching turns √(Z1/Z2); 45 Ω speakers serve as microphones too: general trade knowledge.</summary>
public sealed class SpeakerRule : MendRule
{
    private static readonly NumberAsk Ohms = new("ohms", "Marked impedance", "Ω", 2, 2000) { Required = true };
    private static readonly NumberAsk Watts = new("watts", "Marked power", "W", 0.05, 200);
    private static readonly ChoiceAsk Role = new("role", "It", ("plays", "only plays"), ("both", "plays and is the microphone"), ("field", "has a field coil"));
    private static readonly NumberAsk Count = new("count", "How many play at once on the amplifier", "", 1, 40) { Usual = 1 };
    private static readonly NumberAsk Least = new("least", "Lowest load the amplifier bears", "Ω", 1, 1000);
    private static readonly ChoiceAsk Outdoor = new("outdoor", "It hangs", ("in", "indoors"), ("out", "at a door, outdoors"));
    private static readonly NumberAsk New = new("new", "Its impedance", "Ω", 2, 2000) { OfNewPart = true, Like = "ohms" };
    private static readonly NumberAsk NewWatts = new("newwatts", "Its power", "W", 0.05, 500) { OfNewPart = true };
    private static readonly ChoiceAsk Cone = new("cone", "Its cone", ("paper", "paper"), ("weather", "plastic or treated")) { OfNewPart = true };

    public override string Id => "speaker";
    public override string Title => "Speaker";
    public override string About => "Whether a speaker of another impedance may take its place, and what it does to the amplifier.";
    public override ImmutableArray<Ask> Asks { get; } = [Ohms, Watts, Role, Count, Least, Outdoor, New, NewWatts, Cone];

    public override Finding Answer(Given given)
    {
        var tally = Weigh(given);
        var (old, role, count) = (given.Need(Ohms), given[Role], given[Count]!.Value);
        if (role == "field") return tally.Mind("A field coil is also the filter choke: a permanent magnet needs a choke or resistor of the coil’s ohms and watts in its place, and the rail read afterwards.").NoAdvice("No speaker replaces a field coil by impedance alone. Re-cone the old one, or draw the supply first.");
        tally.AtLeast(New, old * 0.8, "it loads the amplifier more than the set was made for");
        tally.AtMost(New, old * 1.3, role == "both" ? "it talks and plays fainter than its neighbours" : "it plays fainter than its neighbours");
        if (given[Watts] is { } watts) tally.AtLeast(NewWatts, watts, "the cone tears at full volume");
        if (given[New] is { } fresh)
        {
            tally.Figure("load", "Load on the amplifier, against before", old / fresh, "times");
            if (old / fresh > 1.25) tally.Figure("turns", "Matching transformer, turns", Math.Sqrt(old / fresh), "to 1").Why($"A matching transformer of {Engineering.Say(old, "Ω")} to {Engineering.Say(fresh, "Ω")} would carry it.");
            if (role == "both" && fresh < old * 0.5) tally.Why("As a microphone it gives far less: high impedance is what made it loud enough.");
            if (given[Least] is { } least)
            {
                var all = 1 / ((count - 1) / old + 1 / fresh);
                tally.Figure("all", "All together", all, "Ω");
                if (all < least) tally.No($"All together make {Engineering.Say(all, "Ω")}, below the {Engineering.Say(least, "Ω")} the amplifier bears.");
            }
        }
        if (given[Outdoor] == "out" && tally.Proposed && given[Cone] == "paper") tally.Mind("Paper softens outdoors in a season: a treated or plastic cone lasts.");
        tally.Mind("Measure the ohms of the old one: about six tenths to nine tenths of its impedance is whole. Keep the same plus side as the other rooms.");
        return tally.Close("It fits.", $"Look for {Engineering.Say(old, "Ω")}{(given[Watts] is { } w ? $", {Engineering.Say(w, "W")} or more" : "")}.");
    }
}
