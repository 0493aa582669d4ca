using System.Collections.Immutable;
using System.Globalization;
using Bellwire.Workshop;
using static Bellwire.Counsel.Papers.Say;

namespace Bellwire.Counsel.Papers;

/// <summary>Statement for the border: general wording; a broker decides.</summary>
internal sealed record BorderPaper() : PaperKind("border", "Statement for the border", "For a carton that crosses a border, in general words; a broker decides.", 8)
{
    public override Paper Compose(PaperFacts f)
    {
        var back = f.Of.CartonClosed || f.Acts.Any(a => a is Mended or Proved or PackedPiece);
        return f.Write(Id, Title, f.Letter(), Blocks());

        IEnumerable<Block> Blocks()
        {
            var pieces = back ? f.Pieces : [];
            yield return Words(back
                ? "Used parts of a house intercom and music system, sent abroad for repair and now returned to their owner. Not for sale; no change of ownership, except what is named below as sold."
                : "Used parts of a house intercom and music system, sent abroad for repair and return to their owner. Not for sale; no change of ownership.");
            yield return Table([Txt("From"), Txt("To")], [back ? Row(string.Join(", ", PaperFacts.ShopLines(f.Shop).Take(4)), Owner()) : Row(Owner(), string.Join(", ", PaperFacts.ShopLines(f.Shop).Take(4)))]);
            var rows = back ? pieces.Select(p => Row(p.Name, p.Marks ?? "none", "used", "", ""))
                : Afar.WhatToSend(f.State, f.Job, f.Sheet, f.Weighed, f.AcrossBorder).Where(l => l.Send).Select(l => Row(l.Piece, "", "used", "", ""));
            yield return Table([Txt("Piece"), back ? Txt("Serial and marks") : new("Serial and marks", ColumnKind.Blank), Txt("State"), new("Made in", ColumnKind.Blank), new("Value for customs only", ColumnKind.Blank)], rows);
            var sold = f.Sold.ToList();
            if (sold.Count > 0)
            {
                yield return Heading("Sold with this carton: a different article, not a repaired one");
                yield return Points(sold.Select(s => $"{(f.State.Pieces.TryGetValue(s.Piece, out var p) ? p.Name : s.Piece)}, {s.Serial ?? s.Piece}, {s.How}"));
            }
            if (back)
            {
                var bill = Bill.Of(f, f.Shop.HourlyRate ?? 75);
                var parts = bill.Agreed is null ? bill.Charges.Where(c => c.How is not "within the sum agreed").ToList() : [.. bill.Charges];
                yield return Heading("Value of the repair");
                if (parts.Count == 0) yield return Words("No charge is on the tape.");
                else yield return bill.AsTable(f.Shop);
            }
            yield return new Block.Blanks(["Tariff number", "Parcels and weight", "Broker, with telephone", "Who pays duty and tax", "Date and signature"]);
            yield return Caution("This is a general statement and no advice on customs. Rules differ and change; the broker or the customs office decides what is filed, and under which number. Marks here must agree with those on the way out: the article that comes back must be the article that went.");
        }

        string Owner() => string.Join(", ", new[] { f.Owner }.Concat(PaperFacts.Lines(f.OwnerDetail("address"))).Concat(PaperFacts.Lines(f.OwnerDetail("country"))));
    }
}
