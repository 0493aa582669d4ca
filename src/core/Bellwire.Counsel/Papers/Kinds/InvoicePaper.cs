using System.Collections.Immutable;
using System.Globalization;
using Bellwire.Workshop;
using static Bellwire.Counsel.Papers.Say;

namespace Bellwire.Counsel.Papers;

/// <summary>Invoice: the sum agreed, or hours and parts; pieces sold; tax; total.</summary>
internal sealed record InvoicePaper() : PaperKind("invoice", "Invoice", "Work, parts with their origin, pieces from the shelf, tax and total.", 6)
{
    public override Paper Compose(PaperFacts f)
    {
        var bill = Bill.Of(f, f.Shop.HourlyRate ?? 75);
        // A running number over the invoices that were sent, so that none is missing from the row.
        var number = f.State.Effective.Count(e => e.Act is PaperSent { Paper: "invoice" }) + 1;
        return f.Write(Id, string.Create(CultureInfo.InvariantCulture, $"Invoice {f.Today.Year}-{number:000}"), f.Letter(), Blocks()) with { Sum = bill.Total };

        IEnumerable<Block> Blocks()
        {
            if (bill.Charges.IsEmpty) { yield return Words("The tape names no work, parts or sale yet: nothing is asked."); yield break; }
            yield return bill.AsTable(f.Shop);
            var work = f.Acts.OfType<Mended>().Select(m => Upper(m.What)).ToList();
            if (work.Count > 0) { yield return Heading("Done"); yield return Points(work); }
            if (bill.Agreed is { } agreed) yield return Words($"You said yes to {agreed}; nothing beyond it was done without a new word.");
            yield return Words("Parts without a note are new. Old parts are kept for you until the set has run for a week." + (f.Shop.TaxPercent is null ? " No tax is shown." : ""));
            if (f.Shop["payment"] is { } pay) { yield return Heading("Payment"); foreach (var line in PaperFacts.Lines(pay)) yield return Words(line); }
            if (f.Shop["terms"] is { } terms) { yield return Heading("Terms"); foreach (var line in PaperFacts.Lines(terms)) yield return Words(line); }
        }
    }
}
