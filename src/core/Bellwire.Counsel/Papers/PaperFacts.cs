using System.Collections.Immutable;
using Bellwire.Sheets;
using Bellwire.Workshop;

namespace Bellwire.Counsel.Papers;

/// <summary>What a paper may be written from: the tape, its sheet, and what the counsel makes of them.</summary>
/// <param name="Text">Reads an erasable text; null when it was erased.</param>
/// <param name="HeadHash">Hash of the journal's last entry, hex; empty when it is not known.</param>
public sealed record PaperFacts(
    ShopState State, string Job, TypeSheet Sheet, Weighed Weighed, Advice Advice, Func<Personal, string?> Text, DateOnly Today, string HeadHash)
{
    /// <summary>What good sets of the family read; null when nobody asked.</summary>
    public GoodSetChart? Good { get; init; }

    public JobState Of => State.Jobs[Job];
    public ShopDetails Shop => State.Details;
    public IEnumerable<Act> Acts => State.TapeOf(Job).Select(e => e.Act);
    public string Owner => Text(Of.Owner) is { Length: > 0 } name ? name : "[forgotten]";

    /// <summary>What the owner said before anything came: notes after that are the bench's own and go on no owner's paper.</summary>
    public IEnumerable<string> StoryWords => Acts.TakeWhile(a => a is not (PieceRecorded { Place: not Places.House } or SystemSetUp)).OfType<Noted>().Select(n => Text(n.Words)).OfType<string>();

    public string? OwnerDetail(string item) => Of.OwnerDetails.TryGetValue(item, out var words) && Text(words) is { Length: > 0 } said ? said : null;

    /// <summary>The owner's pieces that came, in the order of the sheet's positions; what left by sale or scrap is not among them.</summary>
    public ImmutableArray<PieceState> Pieces =>
        [.. State.Pieces.Values.Where(p => p.Owner == Party.OwnerOf(Job) && !p.Gone && p.Where.Place != Places.House)
            .OrderBy(p => Array.FindIndex([.. Sheet.Positions], x => p.Id == $"{Job}-{x.Id}") is var i && i < 0 ? int.MaxValue : i).ThenBy(p => p.Name, StringComparer.Ordinal).ThenBy(p => p.Id, StringComparer.Ordinal)];

    /// <summary>The shop's pieces that became the owner's, with serial and price where they are known.</summary>
    public IEnumerable<(string Piece, string How, string? Serial, decimal? Price, string? Currency)> Sold =>
        Acts.Select(a => a switch
        {
            OwnershipMoved { How: "sale" or "exchange" } m when m.To == Party.OwnerOf(Job) =>
                (m.Piece, m.How, State.Pieces.GetValueOrDefault(m.Piece)?.Marks, m.WordEntry is { } id && State.Words.TryGetValue(id, out var w) ? w.Amount : null, m.WordEntry is { } e && State.Words.TryGetValue(e, out var v) ? v.Currency : null),
            Exchanged x when x.Job == Job => (x.Piece, "exchange", x.Serial, x.Price, x.Currency),
            _ => ((string, string, string?, decimal?, string?)?)null,
        }).OfType<(string, string, string?, decimal?, string?)>();

    /// <summary>Whether owner and shop are known to live in different countries.</summary>
    public bool AcrossBorder => Shop["country"] is { } ours && OwnerDetail("country") is { } theirs && !ours.Equals(theirs, StringComparison.OrdinalIgnoreCase);

    public string HardwareName(string item) => Sheet.Hardware.FirstOrDefault(h => h.Id == item)?.Name ?? item;
    public string PositionName(string position) => Sheet.Positions.FirstOrDefault(p => p.Id == position)?.Name ?? position;
    public string PointName(string point) => Sheet.Points.FirstOrDefault(p => p.Id == point)?.Words ?? point;

    /// <summary>Every reason that went against a refusal, in words: they are printed.</summary>
    public ImmutableArray<string> Overrides =>
        [.. State.TapeOf(Job).SelectMany(e => (string?[])[Against(e.Act), .. (e.Act.Overrides ?? []).Select(o => $"{KeptReason.Words(o.Gate, Sheet)}: passed over at entry {e.Number}: {o.Reason}")]).OfType<string>()];

    private string? Against(Act act) => act switch
    {
        Fitted { OverrideReason: { Length: > 0 } why } f => $"{PositionName(f.Position)} fitted against the advice: {why}",
        Powered { OverrideReason: { Length: > 0 } why } => $"Power on against the advice: {why}",
        GateAnswered { OverrideReason: { Length: > 0 } why } g => $"{Sheet.Gates.FirstOrDefault(x => x.Id == g.Gate)?.Words ?? g.Gate}: passed over: {why}",
        CartonClosed { OverrideReason: { Length: > 0 } why } => $"Carton closed all the same: {why}",
        JobClosed { OverrideReason: { Length: > 0 } why } => $"Ended all the same: {why}",
        _ => null,
    };

    /// <summary>The head of a letter to the owner.</summary>
    public PaperHead Letter() => new(ShopLines(Shop), Shop["logo"], [Owner, .. Lines(OwnerDetail("address")), .. Lines(OwnerDetail("country"))],
        $"{Sheet.Title} · set {Job}", Today);

    public Paper Write(string kind, string title, PaperHead head, IEnumerable<Block> blocks) =>
        new(kind, title, head, [.. blocks], $"Tape of this set up to entry {State.Head}{(HeadHash.Length >= 12 ? $", check word {HeadHash[..12]}" : "")}.");

    public static ImmutableArray<string> ShopLines(ShopDetails shop) =>
        [.. new[] { shop["name"], shop["address"], shop["country"], shop["telephone"], shop["mail"] }.SelectMany(Lines)];

    public static IEnumerable<string> Lines(string? text) => text?.Split('\n', StringSplitOptions.TrimEntries | StringSplitOptions.RemoveEmptyEntries) ?? [];
}
