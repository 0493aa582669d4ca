using Dapper;
using Microsoft.Data.Sqlite;

namespace Bellwire.Store;

/// <summary>Opens and migrates the SQLite file.</summary>
internal static class Database
{
    public const long CurrentSchema = 1;
    private const long Mark = 0x42574A31; // "BWJ1": tells a shop's file from any other database

    /// <exception cref="StoreException">Newer, or not a shop's file.</exception>
    public static SqliteConnection Open(string path)
    {
        var db = new SqliteConnection(new SqliteConnectionStringBuilder { DataSource = path, Pooling = false, DefaultTimeout = 30 }.ToString());
        try
        {
            db.Open();
            // Erased text must not linger in free pages; an acknowledged entry must survive a power cut.
            db.Execute("PRAGMA journal_mode=WAL; PRAGMA synchronous=FULL; PRAGMA secure_delete=ON; PRAGMA busy_timeout=30000; PRAGMA foreign_keys=ON;");
            Migrate(db, path);
            return db;
        }
        catch (SqliteException e) when (e.SqliteErrorCode == 26)
        {
            db.Dispose();
            throw new StoreException($"{path} is not a Bellwire shop file.");
        }
        catch { db.Dispose(); throw; }
    }

    private static void Migrate(SqliteConnection db, string path)
    {
        using var transaction = db.BeginTransaction(deferred: false);
        var version = db.ExecuteScalar<long>("PRAGMA user_version", transaction: transaction);
        if (version > CurrentSchema)
            throw new StoreException($"{path} was written by a newer Bellwire (schema {version}; this one knows {CurrentSchema}). Nothing was changed; use the newer one.");
        var mark = db.ExecuteScalar<long>("PRAGMA application_id", transaction: transaction);
        var tables = db.ExecuteScalar<long>("SELECT count(*) FROM sqlite_master", transaction: transaction);
        if (mark != Mark && tables > 0) throw new StoreException($"{path} is a database, but not a Bellwire shop file. Nothing was changed.");
        for (var next = version + 1; next <= CurrentSchema; next++)
        {
            db.Execute(Script(next), transaction: transaction);
            db.Execute($"PRAGMA user_version={next}; PRAGMA application_id={Mark};", transaction: transaction);
        }
        transaction.Commit();
    }

    private static string Script(long number)
    {
        var assembly = typeof(Database).Assembly;
        var name = assembly.GetManifestResourceNames().Single(n => n.StartsWith($"{number:0000}-", StringComparison.Ordinal));
        using var reader = new StreamReader(assembly.GetManifestResourceStream(name)!);
        return reader.ReadToEnd();
    }
}
