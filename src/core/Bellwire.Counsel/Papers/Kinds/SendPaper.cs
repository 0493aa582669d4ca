using System.Collections.Immutable;
using Bellwire.Workshop;
using static Bellwire.Counsel.Papers.Say;

namespace Bellwire.Counsel.Papers;

/// <summary>What to send: for the owner, before anything is posted.</summary>
internal sealed record SendPaper() : PaperKind("send", "What to send", "For the owner, before anything is posted: which pieces travel, and what to do first.", 1)
{
    public override Paper Compose(PaperFacts f)
    {
        var lines = Afar.WhatToSend(f.State, f.Job, f.Sheet, f.Weighed, f.AcrossBorder);
        var send = lines.Where(l => l.Send).ToList();
        return f.Write(Id, Title, f.Letter(), Blocks());

        IEnumerable<Block> Blocks()
        {
            if (Afar.Danger(f.Acts.OfType<Noted>().Select(n => f.Text(n.Words) ?? "")) is { } danger) yield return Caution(danger);
            yield return Heading("First");
            yield return Steps(
                "Smoke, a tingle, water or a smell? Switch off at the breaker and leave it alone. An electrician looks first.",
                "Otherwise switch the breaker off, and see that nothing lights. Nothing at line voltage is opened or measured by you; a transformer inside a wall or panel box comes out only by an electrician’s hand. Local rules come first.",
                "Photograph every terminal with its wires on, near enough to read. Tape a label on every wire before it comes off.",
                "Put the screws of each piece into their own bag, and count them below.",
                "Leave the fuse as you find it. Take cells and cassettes out; keep them, or pack them apart.");
            yield return Heading("Into the carton");
            if (send.Count == 0) yield return Words("Nothing needs to travel as the story stands. Please call before you pack anything.");
            else
                yield return Table([new("Packed", ColumnKind.Tick), Txt("Piece"), Txt("Why")], send.Select(l => Row("", l.Piece, Upper(l.Why))));
            var home = lines.Where(l => !l.Send).ToList();
            if (home.Count > 0)
            {
                yield return Heading("Stays at home");
                yield return Table([Txt("Piece"), Txt("Why")], home.GroupBy(l => l.Why).Select(g => Row(string.Join(", ", g.Select(l => l.Piece)), Upper(g.Key))));
            }
            if (send.Count > 0 && f.Sheet.Hardware.Length > 0)
            {
                yield return Heading("Screws and small parts");
                yield return Table([Txt("What"), Num("Belongs"), new("You send", ColumnKind.Blank)],
                    f.Sheet.Hardware.Select(h => Row(h.Note is { Length: > 0 } note ? $"{h.Name}, {note}" : h.Name, h.Count.ToString(System.Globalization.CultureInfo.InvariantCulture), "")));
            }
            yield return Heading("Packing and posting");
            yield return Points([
                "Two cartons, one in the other, five centimetres of foam all round. A heavy transformer is wrapped by itself, away from the face. Nothing loose.",
                "Put in one page in your own words: what it does, what it does not, since when, and what happened just before.",
                .. f.AcrossBorder ? ["It crosses a border: ask us for the statement to put outside on the carton. It travels for repair and return; it is not sold."] : Array.Empty<string>(),
                .. f.Shop["address"] is null ? Array.Empty<string>() : ["To: " + string.Join(", ", PaperFacts.Lines(f.Shop["name"]).Concat(PaperFacts.Lines(f.Shop["address"])).Concat(PaperFacts.Lines(f.Shop["country"])))]]);
            yield return new Block.Blanks(["Sent on", "By carrier", "Signed"]);
            if (f.Sheet.GeneralOdds) yield return Words("No description of this very family is at hand yet: the list is that of sets of its age, so send what is like it.");
        }
    }
}
