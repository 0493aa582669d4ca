using System.IO.Compression;
using Dapper;
using Microsoft.Data.Sqlite;

namespace Bellwire.Store;

/// <summary>A backup is one zip: the database as it stood at one moment, the attachments, and the soak watches under way.</summary>
public static class Archive
{
    private const string DatabaseName = "shop.db";
    private const string FilesPrefix = "files/";

    /// <summary>Copies a running shop. Entries recorded meanwhile are in it or not, never half.</summary>
    /// <exception cref="StoreException">The target exists.</exception>
    public static void Backup(Shop shop, string target, CancellationToken cancel = default)
    {
        ArgumentNullException.ThrowIfNull(shop);
        if (File.Exists(target)) throw new StoreException($"{target} exists. Choose another name; nothing was written.");
        var copy = target + ".partial-db";
        try
        {
            shop.CopyDatabase(copy);
            using (var zip = ZipFile.Open(target + ".partial", ZipArchiveMode.Create))
            {
                zip.CreateEntryFromFile(copy, DatabaseName);
                foreach (var hash in shop.Files.All())
                {
                    cancel.ThrowIfCancellationRequested();
                    zip.CreateEntryFromFile(shop.Files.PathOf(hash), FilesPrefix + hash, CompressionLevel.NoCompression);
                }
                Soaks.Backup(shop.DatabasePath, zip, cancel);
            }
            File.Move(target + ".partial", target);
        }
        finally
        {
            File.Delete(copy);
            File.Delete(target + ".partial");
        }
    }

    /// <summary>Lays a backup down as a new shop file and verifies it.</summary>
    /// <exception cref="StoreException">The target exists, the file is no backup, or what it holds does not verify.</exception>
    public static Verification Restore(string backup, string databasePath, TimeProvider clock)
    {
        if (File.Exists(databasePath)) throw new StoreException($"{databasePath} exists. Restore to a new name; nothing was overwritten.");
        // A log left by another file of that name would be played into the restored one.
        foreach (var left in new[] { databasePath + "-wal", databasePath + "-journal", databasePath + ".files", Soaks.Beside(databasePath) })
            if (Path.Exists(left)) throw new StoreException($"{left} is left over from another shop file. Move it away or restore to a new name; nothing was written.");
        var whole = false;
        try
        {
            LayDown(backup, databasePath);
            using var shop = Shop.Open(databasePath, clock);
            var verified = shop.Verify();
            whole = verified.Complaints.IsEmpty;
            return whole ? verified : throw new StoreException($"{backup} does not verify: {verified.Complaints[0]}");
        }
        finally
        {
            if (!whole) Remove(databasePath);
        }
    }

    private static void Remove(string databasePath)
    {
        foreach (var file in new[] { databasePath, databasePath + "-wal", databasePath + "-shm" }) File.Delete(file);
        foreach (var folder in new[] { databasePath + ".files", Soaks.Beside(databasePath) })
            if (Directory.Exists(folder)) Directory.Delete(folder, recursive: true);
    }

    private static void LayDown(string backup, string databasePath)
    {
        try
        {
            using var zip = ZipFile.OpenRead(backup);
            var database = zip.GetEntry(DatabaseName) ?? throw new StoreException($"{backup} is not a Bellwire backup: it holds no {DatabaseName}.", badInput: true);
            Directory.CreateDirectory(Path.GetDirectoryName(Path.GetFullPath(databasePath))!);
            database.ExtractToFile(databasePath);
            var files = new Attachments(databasePath + ".files");
            foreach (var entry in zip.Entries.Where(e => e.FullName.StartsWith(FilesPrefix, StringComparison.Ordinal)))
            {
                var name = entry.FullName[FilesPrefix.Length..];
                if (name.Length != 64 || !name.All(char.IsAsciiHexDigitLower)) throw new StoreException($"{backup} holds an odd file name: {entry.FullName}.", badInput: true);
                Directory.CreateDirectory(Path.GetDirectoryName(files.PathOf(name))!);
                entry.ExtractToFile(files.PathOf(name), overwrite: true);
            }
            Soaks.LayDown(zip, backup, databasePath);
        }
        catch (InvalidDataException) { throw new StoreException($"{backup} is not a Bellwire backup, or is cut short.", badInput: true); }
    }
}

public sealed partial class Shop
{
    internal void CopyDatabase(string target)
    {
        File.Delete(target);
        // A reader of its own: one consistent moment, and writers go on.
        using var reader = new SqliteConnection(new SqliteConnectionStringBuilder { DataSource = DatabasePath, Pooling = false }.ToString());
        reader.Open();
        reader.Execute("VACUUM INTO @target", new { target });
    }
}
