namespace Bellwire.Store;

/// <summary>Fault tables in files beside the shop's own, <c>shop.db.cache/</c>: what takes seconds to reckon is there after a restart.
/// Nothing in it is needed: it may be deleted at any time, is in no backup, and a file that cannot be read or written only costs time.</summary>
public sealed class TableFolder
{
    /// <summary>All files together, bytes; past that the longest unused go.</summary>
    public const long UsualBytes = 64L << 20;

    private const string Ending = ".table", Unfinished = ".new";
    private readonly string folder;
    private readonly long most;
    private readonly TimeProvider time;
    private readonly Lock laying = new();

    /// <param name="most">Bytes of all files together, above 0.</param>
    public TableFolder(string folder, TimeProvider time, long most = UsualBytes) => (this.folder, this.time, this.most) = (folder, time, most);

    public static TableFolder Beside(string dataPath, TimeProvider time) => new(dataPath + ".cache", time);

    /// <summary>What was laid under that name, whole or damaged; null when there is nothing.</summary>
    /// <param name="name">Hexadecimal digits.</param>
    public byte[]? Take(string name)
    {
        var path = PathOf(name);
        try
        {
            if (!File.Exists(path) || new FileInfo(path).Length > most) return null;
            var bytes = File.ReadAllBytes(path);
            Touch(path);
            return bytes;
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException) { return null; }
    }

    /// <summary>Keeps bytes under a name, in the place of what lay there.</summary>
    public void Lay(string name, byte[] bytes)
    {
        if (bytes.Length > most) return;
        lock (laying)
        {
            // Whole or not at all: another process may read meanwhile, or this one end.
            var path = PathOf(name);
            var unfinished = $"{path}.{Environment.ProcessId}{Unfinished}";
            try
            {
                Directory.CreateDirectory(folder);
                MakeRoom(bytes.Length);
                File.WriteAllBytes(unfinished, bytes);
                File.Move(unfinished, path, overwrite: true);
                Touch(path);
            }
            catch (Exception e) when (e is IOException or UnauthorizedAccessException) { Drop(unfinished); }
        }
    }

    private string PathOf(string name) => name.Length > 0 && name.All(char.IsAsciiHexDigit) ? Path.Combine(folder, name + Ending)
        : throw new ArgumentException($"“{name}” is no name of a table: hexadecimal digits only.", nameof(name));

    /// <summary>Deletes the longest unused until there is room, and what another run left half written a day ago.</summary>
    private void MakeRoom(long wanted)
    {
        var left = most - wanted;
        foreach (var file in new DirectoryInfo(folder).EnumerateFiles().OrderByDescending(f => f.LastWriteTimeUtc).ToList())
        {
            var stale = file.Extension == Unfinished && time.GetUtcNow() - file.LastWriteTimeUtc > TimeSpan.FromDays(1);
            if (file.Extension == Ending) left -= file.Length;
            if (stale || (file.Extension == Ending && left < 0)) Drop(file.FullName);
        }
    }

    private void Touch(string path) => File.SetLastWriteTimeUtc(path, time.GetUtcNow().UtcDateTime);

    private static void Drop(string path)
    {
        try { File.Delete(path); }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException) { _ = e; }
    }
}
