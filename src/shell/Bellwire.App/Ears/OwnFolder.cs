namespace Bellwire.App.Ears;

/// <summary>A temporary folder of this run of the program alone. A file in it is held open as long as the run lasts; the system lets go
/// of it however the run ends, so that a later run can tell a folder in use from one whose owner was killed.</summary>
internal sealed class OwnFolder : IDisposable
{
    private const string Held = "held-by-a-running-bellwire";
    private readonly FileStream held;

    private OwnFolder(string path, FileStream held) => (Path, this.held) = (path, held);

    public string Path { get; }

    /// <summary>A new folder; those of the same prefix whose owner is gone are cleared away first.</summary>
    public static OwnFolder Take(string prefix)
    {
        ClearLeft(prefix);
        for (var tries = 0; ; tries++)
        {
            var path = Directory.CreateTempSubdirectory(prefix).FullName;
            // Another run that starts now may just take it for one left behind: then a new one is made.
            try { return new(path, Hold(path, FileMode.CreateNew)); }
            catch (IOException) when (tries < 10) { }
        }
    }

    private static FileStream Hold(string path, FileMode mode) => new(System.IO.Path.Combine(path, Held), mode, FileAccess.ReadWrite, FileShare.None);

    private static void ClearLeft(string prefix)
    {
        foreach (var path in Directory.EnumerateDirectories(System.IO.Path.GetTempPath(), prefix + "*"))
        {
            try
            {
                // No such file: not ours, or made this moment. Cannot be opened: its owner lives.
                Hold(path, FileMode.Open).Dispose();
                Directory.Delete(path, recursive: true);
            }
            catch (Exception e) when (e is IOException or UnauthorizedAccessException) { }
        }
    }

    public void Dispose()
    {
        held.Dispose();
        try { Directory.Delete(Path, recursive: true); }
        catch (IOException) { /* what is left is cleared away by the next run */ }
    }
}
