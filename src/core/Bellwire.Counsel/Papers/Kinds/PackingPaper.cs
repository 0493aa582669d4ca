using System.Collections.Immutable;
using System.Globalization;
using Bellwire.Workshop;
using static Bellwire.Counsel.Papers.Say;

namespace Bellwire.Counsel.Papers;

/// <summary>Packing list: what is in the carton, down to the screws.</summary>
internal sealed record PackingPaper() : PaperKind("packing", "Packing list", "What is in the carton, down to the screws.", 7)
{
    public override Paper Compose(PaperFacts f)
    {
        var box = Reconciliation.Of(f.State, f.Job);
        return f.Write(Id, Title, f.Letter(), Blocks());

        IEnumerable<Block> Blocks()
        {
            yield return Heading("Pieces");
            yield return Table([Txt("Packed"), Txt("Piece"), Txt("Marks"), Txt("Label")], f.Pieces.Select(p => Row(p.Packed ? "in" : "not yet", p.Name, p.Marks, p.Id)));
            if (box.Hardware.Length > 0)
            {
                yield return Heading("Screws and small parts");
                yield return Table([Txt("What"), Num("Came"), Num("Goes back"), Txt("Note")],
                    box.Hardware.Select(h => Row(f.HardwareName(h.Item), h.Came.ToString(CultureInfo.InvariantCulture), h.Packed.ToString(CultureInfo.InvariantCulture), h.Reason)));
            }
            yield return Words(box.Open.IsEmpty ? "It adds up: every piece and every screw that came is in the carton or accounted for, and nothing of the shop’s goes along."
                : f.Of.CartonClosed ? "Closed although not everything adds up:" : "Not closed yet. Still open:");
            if (!box.Open.IsEmpty) yield return Points(Open(f, box));
            if (!f.Overrides.IsEmpty)
            {
                yield return Heading("Done against the advice, because");
                yield return Points(f.Overrides);
            }
            yield return Words("Please count against this list before the packing is thrown away, and tell us the same day if something is missing or broken. Keep the packing until the set has run for a week.");
            yield return new Block.Blanks(["Packed on", "Parcels", "Weight", "Counted by"]);
        }
    }

    /// <summary>What is still open, in an owner's words.</summary>
    private static IEnumerable<string> Open(PaperFacts f, Reconciliation box)
    {
        foreach (var p in box.ToPack) yield return $"{p.Name}: not in the carton yet";
        foreach (var p in box.Astray) yield return $"{p.Name}: still in another set";
        foreach (var p in box.Lent.Concat(box.ShopPiecesInside).DistinctBy(p => p.Id)) yield return $"{p.Name} ({p.Id}): the shop’s own, does not go along";
        foreach (var h in box.Hardware.Where(h => h.Packed != h.Came && string.IsNullOrWhiteSpace(h.Reason)))
            yield return string.Create(CultureInfo.InvariantCulture, $"{f.HardwareName(h.Item)}: {h.Came} came, {h.Packed} packed");
    }
}
