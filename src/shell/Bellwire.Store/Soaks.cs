using System.IO.Compression;
using System.Text.RegularExpressions;

namespace Bellwire.Store;

/// <summary>The soak watches under way, one folder each beside the shop's file. What is in them belongs to who listens; here they are only
/// carried along.</summary>
public static partial class Soaks
{
    private const string Prefix = "soaks/", Watch = "watch.json";

    /// <summary>The folder of a shop file's soaks; it need not exist.</summary>
    public static string Beside(string databasePath) => databasePath + ".soaks";

    /// <summary>Copies what was kept. Each file is replaced whole by its writer, so each is whole; the watch goes before its clips, so that
    /// every clip it counts is there. A soak that ends meanwhile may leave clips behind: the next run clears away what no watch names.</summary>
    internal static void Backup(string databasePath, ZipArchive zip, CancellationToken cancel)
    {
        if (!Directory.Exists(Beside(databasePath))) return;
        foreach (var folder in Directory.EnumerateDirectories(Beside(databasePath)))
        {
            string[] files;
            try { files = Directory.GetFiles(folder); }
            catch (DirectoryNotFoundException) { continue; } // ended and erased meanwhile
            foreach (var file in files.OrderByDescending(f => Path.GetFileName(f) == Watch))
            {
                var name = $"{Prefix}{Path.GetFileName(folder)}/{Path.GetFileName(file)}";
                cancel.ThrowIfCancellationRequested();
                if (!Name().IsMatch(name)) continue; // one being written
                // Opened before its place in the zip is made: a file erased meanwhile leaves none.
                try
                {
                    using var from = File.OpenRead(file);
                    using var to = zip.CreateEntry(name).Open();
                    from.CopyTo(to);
                }
                catch (Exception e) when (e is FileNotFoundException or DirectoryNotFoundException) { }
            }
        }
    }

    /// <exception cref="StoreException">A file that no soak has.</exception>
    internal static void LayDown(ZipArchive zip, string backup, string databasePath)
    {
        foreach (var entry in zip.Entries.Where(e => e.FullName.StartsWith(Prefix, StringComparison.Ordinal)))
        {
            if (!Name().IsMatch(entry.FullName)) throw new StoreException($"{backup} holds an odd file name: {entry.FullName}.", badInput: true);
            var path = Path.Combine(Beside(databasePath), Path.Combine(entry.FullName[Prefix.Length..].Split('/')));
            Directory.CreateDirectory(Path.GetDirectoryName(path)!);
            entry.ExtractToFile(path);
        }
    }

    [GeneratedRegex(@"^soaks/[0-9a-f]{32}/(watch\.json|clip-[0-9]{1,4}\.wav)\z")] private static partial Regex Name();
}
