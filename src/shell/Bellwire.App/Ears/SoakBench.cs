using System.Collections.Concurrent;
using Bellwire.Store;
using Bellwire.Workshop;

namespace Bellwire.App.Ears;

/// <summary>The soaks under way, one a job, each in a folder beside the shop's file: a restart of the program finds them as they were.</summary>
public sealed class SoakBench
{
    private readonly string folder;
    private readonly ConcurrentDictionary<string, Soak> soaks = new(StringComparer.Ordinal);

    private readonly Func<string, IReadOnlyList<Entry>?> tape;

    private SoakBench(string folder, Func<string, IReadOnlyList<Entry>?> tape) => (this.folder, this.tape) = (folder, tape);

    /// <param name="tape">The entries of a job, or null when the shop knows no such job. One that ended on the tape, or whose owner was
    /// forgotten there, is over: whatever still lies there is erased.</param>
    public static SoakBench Beside(string dataPath, Func<string, IReadOnlyList<Entry>?> tape)
    {
        var bench = new SoakBench(Soaks.Beside(Path.GetFullPath(dataPath)), tape);
        if (!Directory.Exists(bench.folder)) return bench;
        foreach (var path in Directory.EnumerateDirectories(bench.folder))
        {
            var kept = new SoakFolder(path);
            var (memory, why) = kept.Recall();
            if (memory is null && !File.Exists(Path.Combine(path, "watch.json"))) kept.Erase(); // clips of a file whose reckoning was cut off
            else if (memory is null) Console.Error.WriteLine($"A soak watch could not be taken up ({why}). It was left as it is in {path}.");
            else if (bench.IsOver(memory.Job, memory.Begun)) kept.Erase();
            else bench.soaks[memory.Job] = new(kept, memory);
        }
        return bench;
    }

    /// <summary>The soak of this job, if one is under way: another run of the program, too, may have ended it on the tape or forgotten its owner.</summary>
    public Soak? Of(string job)
    {
        if (soaks.GetValueOrDefault(job) is not { } soak) return null;
        if (!IsOver(job, soak.Begun)) return soak;
        End(soak);
        return null;
    }

    /// <summary>Erases every soak that is over by what has been recorded since.</summary>
    public void ClearOver()
    {
        foreach (var job in soaks.Keys) Of(job);
    }

    private bool IsOver(string job, DateTimeOffset begun) => tape(job) is not { } entries
        || entries.Any(e => e.Entered >= begun && (e.Act is SoakEnded || (e.Act is Forgotten f && f.Party == Party.OwnerOf(job))));

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
