using System.Collections.Concurrent;
using System.Collections.Immutable;
using Bellwire.Papers;
using Bellwire.Signals;

namespace Bellwire.App.Ears;

/// <summary>A second or so around something that happened.</summary>
public sealed record Clip(WatchEvent Event, byte[] Wav);

/// <summary>One set left to run with something listening. Outlives the page: a reload finds it as it was.</summary>
public sealed class Soak(string job, string? system, double lineHertz, DateTimeOffset begun)
{
    private const int KeptSeconds = 20, MostClips = 40;
    private readonly Lock gate = new();
    private readonly Queue<float> last = new();
    private readonly List<Clip> clips = [];
    private Watcher? watcher;
    private int rate, next, clipped;

    public string Job => job;
    public string? System => system;
    public DateTimeOffset Begun => begun;

    /// <summary>Calls and chimes tried by hand meanwhile, as (when, as they should).</summary>
    public ConcurrentQueue<(DateTimeOffset At, bool Good)> Tried { get; } = new();

    /// <summary>Number of the next block wanted: one sent twice is taken once.</summary>
    public int Next { get { lock (gate) return next; } }
    public double Listened { get { lock (gate) return watcher?.Seconds ?? 0; } }
    public ImmutableArray<WatchEvent> Events { get { lock (gate) return watcher?.Events ?? []; } }
    public IReadOnlyList<Clip> Clips { get { lock (gate) return [.. clips]; } }

    /// <param name="number">Counted from 0; a block that came already is passed over, and one too early is refused.</param>
    /// <returns>False when an earlier block is missing, or the rate has changed in the middle.</returns>
    public bool Feed(int number, int blockRate, ReadOnlySpan<float> block)
    {
        lock (gate)
        {
            if (number < next) return true;
            if (number > next || (watcher is not null && blockRate != rate)) return false;
            watcher ??= new(rate = blockRate, new(lineHertz));
            var x = new double[block.Length];
            for (var i = 0; i < x.Length; i++) x[i] = float.IsFinite(block[i]) ? block[i] : 0;
            watcher.Feed(x);
            foreach (var v in block) last.Enqueue(v);
            while (last.Count > KeptSeconds * rate) last.Dequeue();
            next++;
            Cut();
            return true;
        }
    }

    /// <summary>A call and a chime are tried every quarter of an hour (common practice, no source).</summary>
    public DateTimeOffset Due => (Tried.IsEmpty ? begun : Tried.Last().At).AddMinutes(15);

    /// <summary>What is to be said at the end.</summary>
    /// <param name="account">How often it showed at home, in how many weeks of how many hours; null when nobody can tell. Only a clean run is worth something.</param>
    public string Said((int Times, double Weeks, double HoursAWeek)? account)
    {
        var (events, bad) = (Events, Tried.Count(t => !t.Good));
        var said = events.Length == 0 ? "nothing happened" : string.Join(", ", events.GroupBy(e => e.Kind).Select(g => FormattableString.Invariant($"{Word(g.Key)} {(g.Count() == 1 ? "once" : $"{g.Count()} times")}")));
        if (!Tried.IsEmpty) said += $"; calls and chimes tried {(Tried.Count == 1 ? "once" : $"{Tried.Count} times")}, {(bad == 0 ? "as they should" : $"{bad} not as they should")}";
        if (account is { } a && events.Length == 0 && bad == 0) said += ". " + CleanRun.ByHours(a.Times, a.Weeks, a.HoursAWeek, Math.Round(Listened / 3600, 1)).Words;
        return said;
    }

    public Plot Timeline()
    {
        ImmutableArray<WatchMinute> minutes;
        ImmutableArray<WatchEvent> events;
        lock (gate) (minutes, events) = (watcher?.Minutes ?? [], watcher?.Events ?? []);
        var hours = Math.Max(0.1, (minutes.Length + 1) / 60.0);
        return new("The watch, minute by minute", new("h", 0, hours), new("dBFS", -120, 0),
            [new("level", [.. minutes.Select(m => ((m.Minute + 0.5) / 60, Math.Max(-120, m.RmsDbfs)))]),
             new("hum", [.. minutes.Where(m => m.HumDbfs is not null).Select(m => ((m.Minute + 0.5) / 60, Math.Max(-120, m.HumDbfs!.Value)))], true)],
            [.. events.Take(24).Select(e => new PlotMark(e.At / 3600, -10, Word(e.Kind)))]);
    }

    public static string Word(WatchKind kind) => kind switch
    {
        WatchKind.FellSilent => "fell silent", WatchKind.LevelMoved => "level moved", WatchKind.HumRose => "hum rose", WatchKind.DropOut => "drop-out", _ => "clicks",
    };

    private void Cut()
    {
        var events = watcher!.Events;
        for (; clipped < events.Length; clipped++)
        {
            if (clips.Count >= MostClips) continue;
            using var bytes = new MemoryStream();
            WavWriter.Write(bytes, new(rate, [.. last.Select(v => (double)Math.Clamp(v, -1f, 1f))]));
            clips.Add(new(events[clipped], bytes.ToArray()));
        }
    }
}

/// <summary>The soaks under way, one a job.</summary>
public sealed class SoakBench
{
    private readonly ConcurrentDictionary<string, Soak> soaks = new(StringComparer.Ordinal);
    public Soak? Of(string job) => soaks.GetValueOrDefault(job);
    public Soak Begin(Soak soak) => soaks[soak.Job] = soak;
    public void End(string job) => soaks.TryRemove(job, out _);
}
