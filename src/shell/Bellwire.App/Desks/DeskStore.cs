using System.Collections.Immutable;
using Bellwire.App.Web;
using Bellwire.Counsel;
using Bellwire.Store;
using Bellwire.Workshop;

namespace Bellwire.App.Desks;

/// <summary>An act on the tape, or why it was refused.</summary>
public sealed record Answer(long Number, Verdict.Refused? Refused)
{
    /// <summary>The safety gates in the way, when it was they that refused.</summary>
    public ImmutableArray<GateBar> Gates { get; init; } = [];
}

/// <summary>An entry that a later one struck out.</summary>
public sealed record StruckEntry(Entry Struck, Entry By, string Why);

/// <summary>What goes onto the journal, and what the ledger says.</summary>
public sealed partial class Desk
{
    /// <summary>Pieces of the owner's that must be in the carton.</summary>
    public IReadOnlyList<PieceState> MustPack(string job) => [.. PiecesOf(job).Where(p => p.Owner == Party.OwnerOf(job))];

    /// <summary>Pieces of the shop's that are lent to this set and must not go along.</summary>
    public IReadOnlyList<PieceState> MustStay(string job) =>
        [.. State.Pieces.Values.Where(p => p.Owner == Party.Shop && p.LentTo == job && !p.Gone).OrderBy(p => p.Name, StringComparer.Ordinal)];

    /// <summary>The acts that put a piece into a position: lend it, empty its old place, empty the new one, fit it.</summary>
    /// <param name="reason">One reason for the whole fitting; reasons for single gates come with the form.</param>
    public List<Act> SwapActs(string job, string system, string position, string piece, string? reason = null)
    {
        var acts = new List<Act>();
        if (!State.Pieces.TryGetValue(piece, out var newcomer)) return [new Fitted(job, piece, system, position, reason)];
        acts.AddRange(LendActs(job, [piece]));
        if (newcomer.Where is { System: { } from, Position: { } at }) acts.Add(new Pulled(job, piece, from, at, null));
        if (State.Systems.GetValueOrDefault(system)?.Pieces.GetValueOrDefault(position) is { } sitting && sitting != piece) acts.Add(new Pulled(job, sitting, system, position, null));
        acts.Add(new Fitted(job, piece, system, position, reason));
        return acts;
    }

    /// <summary>Lends what is the shop's and not lent yet.</summary>
    public IEnumerable<Act> LendActs(string job, IEnumerable<string> pieces) =>
        [.. from id in pieces
            let piece = State.Pieces.GetValueOrDefault(id)
            where piece is { Owner: Party.Shop, LentTo: null }
            select new Lent(id, job)];

    /// <summary>The pieces that just came stand in their places: the set is on the bench.</summary>
    internal void StandUp(Post post, ImmutableDictionary<string, string> came)
    {
        if (SystemOf(post.Job) is { } system) post.Record(new HookUpRepaired(post.Job, system.Id, system.Pieces.SetItems(came), "on the bench"));
        else post.Record(new SystemSetUp("set-" + post.Job, post.Job, SheetOf(post.Job).Id, came));
    }
}
