using System.Globalization;
using Bellwire.Counsel.Mends;
using Bellwire.Sheets;
using Bellwire.Workshop;

namespace Bellwire.Counsel;

/// <summary>One entry of a tape as a sentence.</summary>
public static class TapeWords
{
    /// <param name="text">Reads an erasable text; null when it was erased.</param>
    public static string Of(ShopState state, TypeSheet? sheet, Entry entry, Func<Personal, string?> text)
    {
        string Piece(string id) => state.Pieces.TryGetValue(id, out var p) ? (p.Owner == Party.Shop ? $"the shop’s {p.Name} ({id})" : $"{p.Name} ({id})") : id;
        string Position(string id) => sheet?.Positions.FirstOrDefault(p => p.Id == id)?.Name ?? id;
        string Set(string id) => state.Systems.GetValueOrDefault(id)?.Job is null ? "the mule" : "the set";
        string Said(Personal? p) => p is { } r ? text(r) ?? "[forgotten]" : "";
        string Check(string id) => sheet?.Checks.FirstOrDefault(c => c.Id == id)?.Words ?? id;
        string Outcome(string check, string outcome) => sheet?.Checks.FirstOrDefault(c => c.Id == check)?.Says.GetValueOrDefault(outcome) ?? outcome.Replace('-', ' ');
        static string Over(string? reason) => reason is null ? "" : $" – overridden: {reason}";

        var named = string.Concat((entry.Act.Overrides ?? []).Select(o => $" – overridden, {(sheet is null ? o.Gate : KeptReason.In(entry.Act, sheet).First(k => k.Reason == o.Reason).About)}: {o.Reason}"));
        return named.Length == 0 ? Sentence() : Sentence() + named;

        string Sentence() => entry.Act switch
        {
            JobOpened a => $"Story begun: {Said(a.Owner)}",
            OutlineCorrected a => $"The set is of the era {a.Outline.Era}, fed by {a.Outline.Feed}, with {a.Outline.Rooms} room and {a.Outline.Doors} door stations{(a.Outline.Has.IsDefaultOrEmpty ? "" : "; " + string.Join(", ", a.Outline.Has))}",
            SheetPinned a => $"Type sheet {a.SheetId} pinned",
            OwnerTold a => $"Owner: {Check(a.Check)} – {Outcome(a.Check, a.Outcome)}",
            CauseTold a => $"Owner on {sheet?.Family.Causes.FirstOrDefault(c => c.Id == a.Cause)?.Name ?? a.Cause}: {(a.Happened switch { true => "yes", false => "no", _ => "not known" })}",
            Noted a => Said(a.Words),
            OwnerWord a => $"Owner’s word on {a.About}: {(a.Yes ? "yes" : "no")} by {a.Channel}{(a.Amount is { } m ? string.Create(CultureInfo.InvariantCulture, $", {m} {a.Currency}") : "")}",
            Parked a => a.Until is { } d ? string.Create(CultureInfo.InvariantCulture, $"Parked till {d:d MMMM}: {a.Why}") : $"Parked: {a.Why}",
            JobClosed a => $"Ended: {a.Ending}{Over(a.OverrideReason)}",
            PieceRecorded a => $"{a.Name} ({a.Piece}) {(a.Job is null ? "taken to the shelf" : a.Place == Places.House ? "is in the house" : "came")}{(a.Condition is { Length: > 0 } c ? $": {c}" : "")}",
            PieceMissing a => $"{a.Name} is missing",
            PieceMarked a => $"{Piece(a.Piece)}: {string.Join(", ", new[] { a.Marks, a.Condition }.Where(x => !string.IsNullOrEmpty(x)))}",
            HardwareCounted a => $"{a.Item}: {a.Came} came{(a.Expected is { } e && e != a.Came ? $" of {e}" : "")}",
            OwnershipMoved a => $"{Piece(a.Piece)} now belongs to {(a.To == Party.Shop ? "the shop" : "the owner")} ({a.How})",
            PieceMoved a => $"{Piece(a.Piece)} laid at {a.Place}",
            Lent a => $"{Piece(a.Piece)} lent to this job",
            Returned a => $"{Piece(a.Piece)} back at {a.Place}",
            SystemSetUp a => a.Job is null ? "The mule is set up" : "The set is put together on the bench",
            Fitted a => $"{Piece(a.Piece)} fitted in {Set(a.System)}, {Position(a.Position)}{Over(a.OverrideReason)}",
            Pulled a => $"{Piece(a.Piece)} pulled from {Set(a.System)}, {Position(a.Position)}",
            Reseated a => $"{Position(a.Position)} of {Set(a.System)} unplugged and plugged again",
            HookUpRepaired a => $"{Set(a.System)} is wired like this now",
            Powered a => a.Feed == "off" ? $"Power off, {Set(a.System)}" : $"Power on {Set(a.System)}, feed {a.Feed}{(a.LineVolts is { } v ? string.Create(CultureInfo.InvariantCulture, $", line {v:0} V") : "")}{Over(a.OverrideReason)}",
            SoakBegun a => $"Left to run, {Set(a.System)}, {(a.Attended ? "with someone about" : "alone")}{(a.Hours is { } h ? string.Create(CultureInfo.InvariantCulture, $", for {h:0.#} hours") : "")}",
            Unpowered a => $"Power off, {Set(a.System)}",
            Checked a => $"{Check(a.Check)} – {Outcome(a.Check, a.Outcome)}{(a.Words is null ? "" : ": " + Said(a.Words))}",
            GridChecked a => Grid(a, sheet),
            ReadingTaken a => $"{sheet?.Points.FirstOrDefault(p => p.Id == a.Point)?.Words ?? PartReading.Said(a.Point)}: {a.Typed}",
            GateAnswered a => $"{sheet?.Gates.FirstOrDefault(g => g.Id == a.Gate)?.Words ?? a.Gate}: {(a.Passed ? "done" : "not passed")}{(a.Value is { } v ? string.Create(CultureInfo.InvariantCulture, $", {v:G4}") : "")}{Over(a.OverrideReason)}",
            Photographed a => $"Photograph{(a.Piece is null ? "" : " of " + Piece(a.Piece))}{(a.Words is null ? "" : ": " + Said(a.Words))}",
            Mended a => $"Mended{(a.Piece is { } mended ? $" in {Piece(mended)}" : a.Position is { } at ? $" at {Position(at)}" : "")}: {MendWords.Of(state, sheet, a)}",
            PartUsed a => string.Create(CultureInfo.InvariantCulture, $"Part used in {Piece(a.Piece)}: {(a.Count is > 1 ? $"{a.Count} × " : "")}{a.Part}, {a.Cost} {a.Currency}{(a.Stock is null ? "" : ", from the drawer")}{(a.OldPart is null ? "" : $"; old part {a.OldPart}")}{(a.Reason is null ? "" : $". {a.Reason}")}"),
            PartShelved a => $"{a.Count} × {a.Name} into the drawer at {a.Place}",
            PartCounted a => $"{(state.Parts.TryGetValue(a.Part, out var p) ? p.Name : a.Part)}: {a.Count} counted in the drawer",
            Proved a => $"Proved {sheet?.Proof.FirstOrDefault(p => p.Id == a.Function)?.Words ?? a.Function}: {a.Outcome}{(a.Value is { } v ? string.Create(CultureInfo.InvariantCulture, $", {v:G4} {a.Unit}") : "")}{(a.By is null ? "" : ", " + a.By)}",
            PackedPiece a => $"{Piece(a.Piece)} into the carton",
            PackedHardware a => $"{a.Item}: {a.Count} into the carton{(a.Reason is { Length: > 0 } r ? $" ({r})" : "")}",
            CartonClosed a => $"Carton closed{Over(a.OverrideReason)}",
            PlainAct a => PlainWords.Of(state, a, Piece, Over),
            ShopDetailSet a => $"Shop’s papers: {a.Item} {(a.Value.Length == 0 ? "taken off" : "set")}",
            OwnerDetail a => $"Owner’s {a.Item}: {Said(a.Words)}",
            PaperSent a => $"Paper sent: {Papers.PaperKinds.Find(a.Paper)?.Title ?? a.Paper}, by {a.Channel}{(a.Sum is { } sum ? string.Create(CultureInfo.InvariantCulture, $", {sum:0.00} {a.Currency}") : "")}",
            RunDescribed a => $"{Position(a.Run)}: {string.Join(", ", new[] { a.Terminal, a.Colours, a.Gauge is { } g ? string.Create(CultureInfo.InvariantCulture, $"gauge {g}") : null, a.Metres is { } m ? string.Create(CultureInfo.InvariantCulture, $"{m:0.#} m") : null }.Where(x => !string.IsNullOrEmpty(x)))}",
            TerminalMarked a => $"Terminal marked on the photograph: {a.Terminal}{(a.Colour is null ? "" : ", " + a.Colour)}{(a.GoesTo is null ? "" : ", to " + a.GoesTo)}",
            LoopRead a => string.Create(CultureInfo.InvariantCulture, $"{Position(a.Run)} read across, far end {a.FarEnd}: {(double.IsInfinity(a.Ohms) ? "open" : $"{a.Ohms:0.##} Ω")}, by {a.By}"),
            GroupTried a => $"{(a.Lifted.IsEmpty ? "All runs landed" : $"Lifted {string.Join(", ", a.Lifted.Select(Position))}")}: {(a.Remains ? "still there" : "gone")}, by {a.By}",
            RefitTried a => $"Refit, {a.Step}: {a.Outcome}, by {a.By}{(a.Words is null ? "" : ": " + Said(a.Words))}",
            SheetGrown a => $"Into the family’s sheet {a.SheetId}: {a.What} {a.Name}",
            Struck a => $"Struck: {a.Why}",
            Forgotten => "A person’s data was forgotten at their wish",
            UnknownAct a => $"An entry of a kind this Bellwire does not know: {a.Kind}",
            _ => ActKinds.NameOf(entry.Act),
        };
    }

    private static string Grid(GridChecked a, TypeSheet? sheet)
    {
        var bad = a.Outcomes.Where(o => sheet?.Checks.FirstOrDefault(c => c.Id == o.Key) is not { } c || c.Outcomes[0] != o.Value).ToList();
        return bad.Count == 0 ? $"{a.Outcomes.Count} functions, all good"
            : $"{a.Outcomes.Count} functions, all good except {string.Join(", ", bad.Select(o => $"{sheet?.Functions.FirstOrDefault(f => f.Check == o.Key)?.Words ?? o.Key} ({sheet?.Checks.FirstOrDefault(c => c.Id == o.Key)?.Says.GetValueOrDefault(o.Value) ?? o.Value})"))}";
    }
}
