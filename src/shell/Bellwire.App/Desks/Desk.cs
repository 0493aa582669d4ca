using System.Collections.Concurrent;
using System.Collections.Immutable;
using Bellwire.Counsel;
using Bellwire.Sheets;
using Bellwire.Store;
using Bellwire.Workshop;

namespace Bellwire.App.Desks;

/// <summary>What the pages ask: one shop, its sheets, and what the counsel makes of each tape. Holds no rule of its own.</summary>
public sealed partial class Desk : IDisposable
{
    private readonly Shop shop;
    private readonly SheetFolder sheets;
    private readonly TimeProvider time;
    private readonly TableShelf tables;

    private Desk(Shop shop, SheetFolder sheets, TableShelf tables, TimeProvider time) => (this.shop, this.sheets, this.time, this.tables, forecasts) = (shop, sheets, time, tables, new(tables));

    public static Desk Open(string dataPath, TimeProvider time)
    {
        var desk = new Desk(Shop.Open(dataPath, time), SheetFolder.Beside(Path.GetFullPath(dataPath)), new(TableFolder.Beside(Path.GetFullPath(dataPath), time)), time);
        desk.LayOutSheets();
        return desk;
    }

    public void Dispose()
    {
        shop.Dispose();
        index.Dispose();
    }

    public ShopState State => shop.State;
    public DateTimeOffset Now => time.GetUtcNow();
    public DateOnly Today => DateOnly.FromDateTime(time.GetLocalNow().DateTime);

    /// <summary>The shop's money; every sum carries it.</summary>
    public string Currency => State.Details.Currency;

    public bool Knows(string job) => State.Jobs.ContainsKey(job);
    public JobState Job(string job) => State.Jobs[job];
    public string OwnerOf(string job) => State.Jobs.TryGetValue(job, out var state) ? Text(state.Owner) : "nobody";
    public SystemState? SystemOf(string job) => Job(job).System is { } id ? State.Systems.GetValueOrDefault(id) : null;
    public JobGlance Glance(string job) => JobGlance.Of(State, Job(job), Today);

    // ---- sheets
    public IReadOnlyList<TypeSheet> Sheets => sheets.All;
    public IReadOnlyList<string> SheetComplaints => sheets.Complaints;
    public TypeSheet SheetOf(string job) => SheetOf(Job(job));

    // ---- pieces
    /// <summary>The owner's pieces that came, in the order of the sheet's positions.</summary>
    public IReadOnlyList<PieceState> PiecesOf(string job) =>
        [.. State.Pieces.Values.Where(p => p.Job == job && p.Owner != Party.Shop && !p.Gone && p.Where.Place != "house").OrderBy(p => Order(job, p)).ThenBy(p => p.Name, StringComparer.Ordinal)];

    /// <summary>Every piece that could be put into this set: the owner's and the shop's, none lent to another.</summary>
    public IEnumerable<PieceState> PiecesFor(string job) =>
        State.Pieces.Values.Where(p => !p.Gone && (p.Job == job || (p.Owner == Party.Shop && (p.LentTo is null || p.LentTo == job))) && p.Where.Place != "house");

    public string PieceName(string piece) => State.Pieces.TryGetValue(piece, out var p) ? p.Name + (p.Owner == Party.Shop ? " (the shop’s)" : "") : piece;
    public string PositionName(string job, string position) => SheetOf(job).Positions.FirstOrDefault(p => p.Id == position)?.Name ?? position;
    public string HardwareName(string job, string item) => SheetOf(job).Hardware.FirstOrDefault(h => h.Id == item)?.Name ?? item;

    public string WhereWord(PieceState piece)
    {
        if (piece.Where is not { System: { } system, Position: { } position }) return piece.Where.Place ?? "not known";
        var job = State.Systems.GetValueOrDefault(system)?.Job;
        return job is null ? $"in the mule set, {position}" : $"in {OwnerOf(job)}’s set, {PositionName(job, position)}";
    }

    /// <summary>Positions of which nothing has been said yet: neither came nor is known to be missing.</summary>
    public List<PositionInfo> StillToUnpack(string job)
    {
        var missing = Job(job).Missing.Select(m => m.Position).ToHashSet();
        return [.. SheetOf(job).Positions.Where(p => !p.House && !State.Pieces.ContainsKey($"{job}-{p.Id}") && !missing.Contains(p.Id))];
    }

    private int Order(string job, PieceState piece)
    {
        var positions = SheetOf(job).Positions;
        for (var i = 0; i < positions.Length; i++)
            if (piece.Id == $"{job}-{positions[i].Id}") return i;
        return positions.Length;
    }

    // ---- words on the tape
    public IEnumerable<Photographed> PhotosOf(string job) => State.TapeOf(job).Select(e => e.Act).OfType<Photographed>();
    public IReadOnlyList<string> Words(string job) => [.. State.TapeOf(job).Select(e => e.Act).OfType<Noted>().Select(n => Text(n.Words))];

    /// <summary>The entry recorded last, of this job or of the whole shop, as the tape says it; empty when there is none.</summary>
    public string NewestWords(string? job) => shop.Entries.LastOrDefault(e => job is null || e.Jobs.Contains(job)) is { } newest ? WordsOf(newest) : "";

    public string NextWord(string job) => Job(job).Ending is not null ? "nothing" : NextMove(Advice(job));

    private static string NextMove(Advice advice) =>
        advice.Moves.SelectMany(b => b.Moves).FirstOrDefault(m => m.Refusal is null)?.Words ?? advice.StoppingWord;

    /// <summary>Where a piece is best looked at: in the hook-up it sits in, among what came with its set, or on the shelf.</summary>
    internal string AddressOf(PieceState piece) =>
        piece.Where is { System: { } system, Position: { } position } && State.Systems.GetValueOrDefault(system)?.Job is { } at
            ? $"/job/{at}/bench?at={Uri.EscapeDataString(position)}#position"
            : piece.Job is { } job ? $"/job/{job}/unpack" : "/shelf";
}
