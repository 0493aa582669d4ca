using System.Collections.Concurrent;
using Bellwire.Workshop;

namespace Bellwire.App.Ears;

/// <summary>The soaks under way, one a job, each in a folder beside the shop's file: a restart of the program finds them as they were.</summary>
public sealed class SoakBench
{
    private readonly string folder;
    private readonly ConcurrentDictionary<string, Soak> soaks = new(StringComparer.Ordinal);

    private SoakBench(string folder) => this.folder = folder;

    /// <param name="tape">The entries of a job, or null when the shop knows no such job: one that ended on the tape is over, whatever still lies there.</param>
    public static SoakBench Beside(string dataPath, Func<string, IReadOnlyList<Entry>?> tape)
    {
        var bench = new SoakBench(Path.GetFullPath(dataPath) + ".soaks");
        if (!Directory.Exists(bench.folder)) return bench;
        foreach (var path in Directory.EnumerateDirectories(bench.folder))
        {
            var kept = new SoakFolder(path);
            var (memory, why) = kept.Recall();
            if (memory is null && !File.Exists(Path.Combine(path, "watch.json"))) kept.Erase(); // clips of a file whose reckoning was cut off
            else if (memory is null) Console.Error.WriteLine($"A soak watch could not be taken up ({why}). It was left as it is in {path}.");
            else if (tape(memory.Job) is not { } entries || entries.Any(e => e.Act is SoakEnded && e.Entered >= memory.Begun)) kept.Erase();
            else bench.soaks[memory.Job] = new(kept, memory);
        }
        return bench;
    }

    public Soak? Of(string job) => soaks.GetValueOrDefault(job);

    /// <summary>A new soak, known to nobody before <see cref="Begin"/>.</summary>
    public Soak New(string job, string? system, double lineHertz, DateTimeOffset begun) =>
        new(new(Path.Combine(folder, Guid.NewGuid().ToString("N"))), new(0, job, system, lineHertz, begun, 0, 0, 0, [], null));

    /// <returns>False when one of this job is being watched already; then the new one is gone.</returns>
    public bool Begin(Soak soak)
    {
        soak.Keep();
        if (soaks.TryAdd(soak.Job, soak)) return true;
        soak.Erase();
        return false;
    }

    public void End(Soak soak)
    {
        soaks.TryRemove(soak.Job, out _);
        soak.Erase();
    }
}
