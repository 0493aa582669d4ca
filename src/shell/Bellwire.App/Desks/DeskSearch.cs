using Bellwire.Store;
using Bellwire.Workshop;

namespace Bellwire.App.Desks;

/// <summary>Search over owners, pieces, marks, tapes and papers.</summary>
public sealed partial class Desk
{
    private readonly SearchIndex index = new();
    private readonly Lock indexing = new();
    private long indexed = -1;

    /// <summary>Owners, pieces, marks and words that hold every word of <paramref name="wanted"/>; at most 40. A scanned label goes straight to its piece.</summary>
    public IReadOnlyList<(string Address, string Words, string Where)> Find(string wanted)
    {
        ArgumentNullException.ThrowIfNull(wanted);
        if (State.Pieces.TryGetValue(wanted.Trim(), out var scanned)) return [(AddressOf(scanned), scanned.Name, WhereWord(scanned))];
        lock (indexing)
        {
            var head = Head;
            // Strikes and erasures take words away: the whole is built anew, a second for some hundred thousand entries.
            if (head != indexed) index.Fill(Texts());
            indexed = head;
        }
        return [.. index.Find(wanted).Select(h => (h.Address, h.Head, h.Where))];
    }

    private IEnumerable<SearchText> Texts()
    {
        var state = State;
        foreach (var job in state.Jobs.Keys.Order(StringComparer.Ordinal))
            yield return new($"/job/{job}/bench", OwnerOf(job), $"{OwnerOf(job)} {job} {SheetOf(job).Title}", Glance(job).Where);
        foreach (var piece in state.Pieces.Values.OrderBy(p => p.Id, StringComparer.Ordinal))
            yield return new(AddressOf(piece), piece.Name, $"{piece.Name} {piece.Id} {piece.Kind} {piece.Marks} {piece.Condition}", $"{piece.Id} {piece.Marks}, {WhereWord(piece)}");
        foreach (var entry in state.Effective)
            if (entry.Jobs is [var job, ..] && state.Jobs.ContainsKey(job) && entry.Act is not (PieceRecorded or PackedPiece or Powered or Unpowered) && WordsOf(entry) is var words)
                yield return new($"/job/{job}/tape#e{entry.Number}", words, words, entry.Act is PaperSent ? $"a paper to {OwnerOf(job)}" : $"on the tape of {OwnerOf(job)}");
    }
}
