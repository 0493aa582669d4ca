using System.Collections.Immutable;
using System.Globalization;
using Bellwire.Workshop;
using static Bellwire.Counsel.Papers.Say;

namespace Bellwire.Counsel.Papers;

/// <summary>What came: the message that goes out the day the carton is opened.</summary>
internal sealed record CamePaper() : PaperKind("came", "What came", "The same-day message: pieces, marks, looks and hardware as they came out of the carton, and what is missing.", 2)
{
    public override Paper Compose(PaperFacts f)
    {
        var pieces = f.Pieces;
        var missing = f.Of.Missing;
        var hardware = f.Of.Hardware.Values.Where(h => h.Came > 0 || h.Expected > 0).OrderBy(h => h.Item, StringComparer.Ordinal).ToList();
        var shortage = hardware.Where(h => h.Came < h.Expected).ToList();
        var opened = f.State.TapeOf(f.Job).Where(e => e.Act is PieceRecorded { Place: not Places.House } or PieceMissing or HardwareCounted).Select(e => (DateTimeOffset?)(e.Done ?? e.Entered)).FirstOrDefault();
        return f.Write(Id, Title, f.Letter(), Blocks());

        IEnumerable<Block> Blocks()
        {
            yield return Words(opened is { } day
                ? $"The carton was opened on {day.ToString("d MMMM yyyy", CultureInfo.InvariantCulture)}. This is what was in it, as it looked, before anything was opened, moved or put under power."
                : "Nothing has come out of a carton yet.");
            if (pieces.Length > 0)
            {
                yield return Heading(pieces.Length == 1 ? "One piece came" : $"{pieces.Length} pieces came");
                yield return Table([Txt("Piece"), Txt("Marks on it"), Txt("As it looked"), Txt("Our label")], pieces.Select(p => Row(p.Name, p.Marks, p.Condition, p.Id)));
            }
            if (missing.Length > 0 || shortage.Count > 0)
            {
                yield return Heading("Did not come");
                yield return Points([.. missing.Select(m => Upper(m.Name)), .. shortage.Select(h => string.Create(CultureInfo.InvariantCulture, $"{f.HardwareName(h.Item)}: {h.Expected - h.Came} of {h.Expected}"))]);
                yield return Words("Please look in the packing, and on the wall. Then tell us which you choose: you send it after; we supply it, if our shelf has it, and say the price first; or it goes back without, and that is noted.");
            }
            if (hardware.Count > 0)
            {
                yield return Heading("Screws and small parts");
                yield return Table([Txt("What"), Num("Came"), Num("Belongs"), Txt("Note")],
                    hardware.Select(h => Row(f.HardwareName(h.Item), h.Came.ToString(CultureInfo.InvariantCulture), h.Expected?.ToString(CultureInfo.InvariantCulture) ?? "–", Note(h.Item))));
            }
            var photos = f.Acts.OfType<Photographed>().GroupBy(p => p.ContentHash).Select(g => g.Last()).Take(6).ToList();
            if (photos.Count > 0) yield return Heading("Photographs");
            foreach (var photo in photos)
                yield return new Block.Picture(photo.ContentHash, photo.MediaType, photo.Words is { } w && f.Text(w) is { Length: > 0 } said ? said : photo.Piece is { } piece && f.State.Pieces.TryGetValue(piece, out var p) ? p.Name : "As it came", []);
            yield return Words("If anything here is not as you sent it, tell us today: a carrier’s time for claims is short, and all packing is kept until we hear from you.");
        }

        string? Note(string item) => f.Acts.OfType<HardwareCounted>().LastOrDefault(h => h.Item == item)?.Note;
    }
}
