using Bellwire.Workshop;
using Dapper;
using Microsoft.Data.Sqlite;

namespace Bellwire.Store;

public sealed partial class Shop
{
    private const string Erasing = "erasing";

    /// <summary>True while bytes of an erased text may linger in the files because another program held them open;
    /// opening the shop alone finishes the erasure.</summary>
    public bool ErasurePending { get; private set; }

    /// <summary>Erases every text of a party and, for an owner, the photographs and sent papers of the job; leaves a tombstone. The chain stays whole.
    /// Old backups, and invoices that the law makes one keep, are beyond its reach: the page that calls this says so.</summary>
    /// <returns>The tombstone, or the refusal.</returns>
    public Recorded Forget(string entryId, string party) => Record(new Proposal(entryId, new Forgotten(party)));

    /// <summary>Part of the transaction of the tombstone: never one without the other, whoever recorded it.</summary>
    private void EraseTexts(string party, SqliteTransaction transaction)
    {
        db.Execute("UPDATE personal SET salt = NULL, text = NULL WHERE party = @party", new { party }, transaction);
        db.Execute("INSERT INTO meta(key, value) VALUES (@Erasing, 'yes') ON CONFLICT(key) DO NOTHING", new { Erasing }, transaction);
        ErasurePending = true;
    }

    /// <summary>After the commit, and again when a kill came between: old pages out of the log and the file, photographs off the disk.</summary>
    private void Scrub()
    {
        var gone = recorded.Select(e => e.Act).OfType<Forgotten>().Select(f => f.Party).ToHashSet();
        foreach (var file in Named.In(recorded).ToLookup(n => n.Hash, n => n.Job))
            if (file.All(job => job is not null && gone.Contains(Party.OwnerOf(job)))) Files.Erase(file.Key);

        // Another program may hold the file: wait a moment, not for ever – the tombstone stands, the rest is made up for later.
        db.Execute("PRAGMA busy_timeout=1000");
        try
        {
            if (!Fold()) return;
            db.Execute("VACUUM", commandTimeout: 1);
            if (!Fold()) return;
            db.Execute("DELETE FROM meta WHERE key = @Erasing", new { Erasing });
            ErasurePending = false;
        }
        catch (SqliteException e) when (e.SqliteErrorCode is 5 or 6) { } // busy, locked: still pending, and Verify says so
        finally { db.Execute("PRAGMA busy_timeout=30000"); }
    }

    /// <summary>Folds the write-ahead log in and empties it; false when a reader elsewhere holds it.</summary>
    private bool Fold() => db.ExecuteScalar<long>("PRAGMA wal_checkpoint(TRUNCATE)") == 0;
}
