using System.Collections.Immutable;
using Bellwire.Workshop;
using Dapper;
using Microsoft.Data.Sqlite;

namespace Bellwire.Store;

/// <summary>The shop's one file: journal, erasable texts, settings; attachments beside it. Thread-safe.
/// An entry that was acknowledged is on the disk (WAL, synchronous=FULL).</summary>
public sealed partial class Shop : IDisposable
{
    private readonly Lock gate = new();
    private readonly SqliteConnection db;
    private readonly TimeProvider clock;
    private readonly Watchers watchers = new();
    private ImmutableList<Entry> recorded = [];
    private ShopState state = ShopState.Empty;

    public string DatabasePath { get; }
    public Attachments Files { get; }

    private Shop(string path, SqliteConnection db, TimeProvider clock)
    {
        DatabasePath = path;
        this.db = db;
        this.clock = clock;
        Files = new Attachments(path + ".files");
    }

    /// <summary>Opens the file, creating it when absent.</summary>
    /// <exception cref="StoreException">The file is newer than this Bellwire, or not a shop.</exception>
    public static Shop Open(string databasePath, TimeProvider clock)
    {
        ArgumentException.ThrowIfNullOrWhiteSpace(databasePath);
        ArgumentNullException.ThrowIfNull(clock);
        var full = Path.GetFullPath(databasePath);
        Directory.CreateDirectory(Path.GetDirectoryName(full)!);
        var db = Database.Open(full);
        try
        {
            var shop = new Shop(full, db, clock);
            lock (shop.gate)
            {
                shop.Refresh();
                shop.ErasurePending = db.ExecuteScalar<long>("SELECT count(*) FROM meta WHERE key = @Erasing", new { Erasing }) > 0;
                if (shop.ErasurePending) shop.Scrub();
            }
            return shop;
        }
        catch { db.Dispose(); throw; }
    }

    /// <summary>What the journal amounts to now, entries of other processes included.</summary>
    public ShopState State { get { lock (gate) { Refresh(); return state; } } }

    /// <summary>Number of the last entry; 0 when there is none.</summary>
    public long Head { get { lock (gate) { Refresh(); return state.Head; } } }

    /// <summary>Every entry in recorded order, struck ones too.</summary>
    public IReadOnlyList<Entry> Entries { get { lock (gate) { Refresh(); return recorded; } } }

    /// <summary>Record one act. Returns only when it is durable or refused.</summary>
    public Recorded Record(Proposal proposal) => RecordAll([proposal])[0];

    /// <summary>Record several acts in one transaction: all of them, or – when one is refused – none.
    /// After a refusal the answers of the acts before it are absent; the last answer is the refusal.</summary>
    public ImmutableArray<Recorded> RecordAll(IReadOnlyList<Proposal> proposals)
    {
        ArgumentNullException.ThrowIfNull(proposals);
        return RecordAll(_ => proposals);
    }

    /// <param name="propose">Asked inside the transaction: what it is told is what the entries will follow.</param>
    private ImmutableArray<Recorded> RecordAll(Func<ShopState, IReadOnlyList<Proposal>> propose)
    {
        lock (gate)
        {
            var answers = ImmutableArray.CreateBuilder<Recorded>();
            using (var transaction = db.BeginTransaction(deferred: false))
            {
                Refresh(transaction);
                var (beforeState, beforeRecorded, beforePending) = (state, recorded, ErasurePending);
                var kept = false;
                try
                {
                    foreach (var proposal in propose(state))
                    {
                        var answer = Append(proposal, transaction);
                        if (answer is Recorded.Refused) return [answer];
                        answers.Add(answer);
                    }
                    transaction.Commit();
                    kept = true;
                }
                finally
                {
                    if (!kept) (state, recorded, ErasurePending) = (beforeState, beforeRecorded, beforePending);
                }
            }
            if (ErasurePending) Scrub();
            watchers.Tell(state.Head);
            return answers.ToImmutable();
        }
    }

    /// <summary>The text behind a reference; null when it was erased or never stored.</summary>
    public string? Read(Personal reference)
    {
        lock (gate) return db.QuerySingleOrDefault<string?>("SELECT text FROM personal WHERE ref = @Ref", new { reference.Ref });
    }

    /// <summary>Numbers of the head, as entries of this process arrive.</summary>
    public IAsyncEnumerable<long> Changes(CancellationToken cancel) => watchers.Watch(cancel);

    public string? Setting(string key) { lock (gate) return db.QuerySingleOrDefault<string?>("SELECT value FROM setting WHERE key = @key", new { key }); }

    public void Set(string key, string value)
    {
        lock (gate) db.Execute("INSERT INTO setting(key, value) VALUES (@key, @value) ON CONFLICT(key) DO UPDATE SET value = excluded.value", new { key, value });
    }

    public void Dispose()
    {
        lock (gate) db.Dispose();
        SqliteConnection.ClearPool(db);
    }
}
