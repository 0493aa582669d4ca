using System.Collections.Immutable;
using System.Globalization;
using Bellwire.Workshop;
using static Bellwire.Counsel.Papers.Say;

namespace Bellwire.Counsel.Papers;

/// <summary>Refit and wiring advice for this owner's causes and house.</summary>
internal sealed record RefitPaper() : PaperKind("refit", "Putting it back", "Refit and wiring advice for this owner’s causes and house, with the terminals and runs as they are known.", 9)
{
    public override Paper Compose(PaperFacts f)
    {
        var house = HouseMap.Of(f.State, f.Job, f.Sheet);
        return f.Write(Id, Title, f.Letter(), Blocks());

        IEnumerable<Block> Blocks()
        {
            if (f.Of.Ending == "returned unsafe") yield return Caution("This set is not safe to connect. Do not put it back.");
            yield return Caution(LocalRules + " The set holds a charge for a while after it is switched off" + (f.Sheet.Era == "tube" ? ", runs hot and carries 100 to 300 V inside." : "."));
            if (OfCauses(f).ToList() is { Count: > 0 } causes)
            {
                yield return Heading("Because of what happened in your house");
                yield return Points(causes);
            }
            yield return Heading("In this order");
            yield return Steps(house.Refit.Select(r => r.Words + (r.Outcome is { } o ? $" ({(o == "well" ? "went well" : o == "badly" ? "went badly" : "left out")}, {r.By ?? "by owner’s word"})" : "")));
            yield return Words("Stop at the first one that goes wrong, leave it lifted, and call. Call us in the hour of the refit if you like: it is quicker than a letter.");
            foreach (var photo in house.Terminals.GroupBy(t => t.Photo))
            {
                var media = f.Acts.OfType<Photographed>().FirstOrDefault(p => p.ContentHash == photo.Key)?.MediaType ?? "image/jpeg";
                yield return new Block.Picture(photo.Key, media, "Your terminals, from your own photograph", [.. photo.Select(t => new Pin(t.Number.ToString(CultureInfo.InvariantCulture), t.X, t.Y))]);
            }
            if (house.Terminals.Length > 0)
                yield return Table([Num("No."), Txt("Terminal"), Txt("Wire"), Txt("Goes to")], house.Terminals.Select(t => Row(t.Number.ToString(CultureInfo.InvariantCulture), t.Terminal, t.Colour ?? "not said", t.GoesTo ?? "not said")));
            var known = house.Runs.Where(r => r.Colours is not null || r.Metres is not null || r.Loop is not null).ToList();
            if (known.Count > 0)
            {
                yield return Heading("Your runs, as they are known");
                yield return Table([Txt("Run"), Txt("Colours"), Num("Gauge"), Num("Metres"), Txt("Read")], known.Select(r => Row(r.Name, r.Colours ?? "–", r.Gauge?.ToString(CultureInfo.InvariantCulture) ?? "–", r.Metres is { } m ? N(m) : "–", Upper(r.Word))));
            }
            if (f.Sheet.Terminals.Length > 0)
            {
                yield return Heading("What each terminal carries, and what may go on it");
                yield return Table([Txt("Terminal"), Txt("Carries"), Txt("May be connected")], f.Sheet.Terminals.Select(t => Row(t.Words, Upper(t.Carries), Upper(t.MayConnect))));
                yield return Words("Anything else: no, or not known. It gets its own wires, its own transformer, its own chime.");
            }
            yield return Heading("Never");
            yield return Points(
                "a bell, chime, gate, camera or video-door supply, AC or DC, on any wire or terminal of this set",
                "a larger or slower fuse: same value, same kind. A blown fuse is a result; call",
                "a plug-in DC supply in place of the set’s AC transformer",
                "spare wires of the speech cable joined to anything at line voltage, or run in one hole or box with it",
                "two rooms on one terminal, or speakers of few ohms where the set has speakers of many",
                "wires pushed behind the set so that they rest on a board or the transformer");
            yield return Heading("Always");
            yield return Points(
                "label both ends of every wire; keep this paper and the photographs inside the wall box",
                "read a run across a load of 10 kΩ when you look for volts on it: a bare meter shows volts that are not there",
                "a foreign transformer may stay live with this set’s breaker off: find them all first",
                "room switches on, privacy off, while you try it",
                "keep grilles clean and dry; seal outdoor plates above and leave them a weep hole below");
            foreach (var caution in f.Sheet.Cautions.Where(c => c.Contains("door", StringComparison.OrdinalIgnoreCase) || c.Contains("terminal", StringComparison.OrdinalIgnoreCase) || c.Contains("fuse", StringComparison.OrdinalIgnoreCase)).Take(3)) yield return Caution(caution);
        }
    }

    /// <summary>What the told or found causes ask for; common practice of the trade, no source.</summary>
    internal static IEnumerable<string> OfCauses(PaperFacts f)
    {
        var told = f.Acts.OfType<CauseTold>().GroupBy(c => c.Cause).ToDictionary(g => g.Key, g => g.Last().Happened);
        bool Is(string cause) => told.GetValueOrDefault(cause) is { } said ? said : f.Advice.Causes.FirstOrDefault(c => c.Id == cause)?.Probability > 0.5;
        if (Is("foreign")) yield return "A foreign supply reached these wires. Find every transformer in the house that could touch them, have it taken off by those who may, and read every run for volts before the set goes back.";
        if (Is("surge")) yield return "It came after a storm or surge. Have an electrician fit a protector at the panel; guard every wire that leaves the house, and lift them in storms if you can.";
        if (Is("water")) yield return "Water came in at an outdoor station. Seal its plate from above, leave a weep hole below, and have its cable read dry before it is landed.";
        if (Is("earlier")) yield return "Somebody had worked on it before. Trust no colour or label that is not on your own photograph.";
        if (Is("age")) yield return "It has served many years. Let it not hum on for a season again: a set that hums asks for a look.";
    }
}
