using System.Collections.Concurrent;
using System.Collections.Immutable;
using Bellwire.Counsel.Ears;
using Bellwire.Sheets;

namespace Bellwire.App.Ears;

/// <summary>A recording that was measured and not yet put on the tape.</summary>
/// <param name="File">Where its bytes lie until then.</param>
/// <param name="Check">The check it answers, or null.</param>
/// <param name="Lead">How the lead was found before it was plugged in, for the tape; empty when there was none.</param>
public sealed record Heard(string Id, string Job, string File, string Name, string? Check, bool ByOwner, string Lead, EarReport Report, EarFinding Finding)
{
    /// <summary>What a response was held against, for its plot.</summary>
    public ImmutableArray<ResponseLimit> Limits { get; init; } = [];
}

/// <summary>The last recordings measured: kept beside the pages, the oldest let go. Their bytes lie in a temporary folder that goes with
/// the program, or, when that was killed, at the next start of any.</summary>
public sealed class EarBench : IDisposable
{
    /// <summary>Each may hold six million samples.</summary>
    private const int Most = 3;
    private readonly OwnFolder folder = OwnFolder.Take("bellwire-ear-");
    private readonly ConcurrentQueue<Heard> heard = new();

    /// <summary>The sweep that is played, and that a response is reckoned by, in a recording of this rate.</summary>
    public static Bellwire.Signals.SweepAsked Sweep(int rate) => new() { HighHertz = Math.Min(20_000, rate * 0.45) };

    /// <summary>Quiet by intent: small cones in mind.</summary>
    public const double PinkRmsDbfs = -30;

    public static Played Played(int rate) => new(Sweep(rate), PinkRmsDbfs);

    public string NewFile() => Path.Combine(folder.Path, Guid.NewGuid().ToString("N") + ".wav");

    public void Add(Heard one)
    {
        heard.Enqueue(one);
        while (heard.Count > Most && heard.TryDequeue(out var old)) File.Delete(old.File);
    }

    /// <summary>Lets go of everything measured for a job, its bytes first.</summary>
    public void LetGo(string job)
    {
        for (var n = heard.Count; n > 0 && heard.TryDequeue(out var one); n--)
        {
            if (one.Job == job) File.Delete(one.File);
            else heard.Enqueue(one);
        }
    }

    public Heard? Find(string job, string? id) => id is null ? null : heard.FirstOrDefault(h => h.Id == id && h.Job == job);

    public void Dispose() => folder.Dispose();
}
