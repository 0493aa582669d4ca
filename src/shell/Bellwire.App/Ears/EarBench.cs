using System.Collections.Concurrent;

namespace Bellwire.App.Ears;

/// <summary>A recording that was measured and not yet put on the tape.</summary>
/// <param name="File">Where its bytes lie until then.</param>
/// <param name="Check">The check it answers, or null.</param>
public sealed record Heard(string Id, string Job, string File, string Name, string? Check, bool ByOwner, EarReport Report, EarFinding Finding);

/// <summary>The last recordings measured: kept beside the pages, the oldest let go.</summary>
public sealed class EarBench : IDisposable
{
    private const int Most = 12;
    private readonly string folder = Directory.CreateTempSubdirectory("bellwire-ear-").FullName;
    private readonly ConcurrentQueue<Heard> heard = new();

    public string NewFile() => Path.Combine(folder, Guid.NewGuid().ToString("N") + ".wav");

    public void Add(Heard one)
    {
        heard.Enqueue(one);
        while (heard.Count > Most && heard.TryDequeue(out var old)) File.Delete(old.File);
    }

    public Heard? Find(string job, string? id) => id is null ? null : heard.FirstOrDefault(h => h.Id == id && h.Job == job);

    public void Dispose()
    {
        try { Directory.Delete(folder, recursive: true); }
        catch (IOException) { /* the system's temporary folder is emptied in its own time */ }
    }
}
