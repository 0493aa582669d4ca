using System.Collections.Immutable;
using Bellwire.Papers;
using Bellwire.Signals;

namespace Bellwire.App.Ears;

/// <summary>Something that happened, and whether the seconds before it were kept.</summary>
public sealed record Happened(int Number, WatchEvent Event, bool HasClip);

/// <summary>One set left to run with something listening. Outlives the page and, by its folder, the program.</summary>
public sealed class Soak
{
    private const int KeptSeconds = 20, MostClips = 24;
    private readonly SoakFolder folder;
    private readonly SoakMemory begun;
    private readonly Lock gate = new();
    private readonly Queue<float> last = new();
    private ImmutableArray<Trial> tried;
    private Watcher? watcher;
    private int rate, next, clips;
    private bool gone;

    internal Soak(SoakFolder folder, SoakMemory memory)
    {
        (this.folder, begun, tried) = (folder, memory, memory.Tried);
        (rate, next, clips) = (memory.Rate, memory.Next, memory.Clips);
        if (memory.Watch is { } watch) watcher = new(rate, new(memory.LineHertz), watch);
    }

    public string Job => begun.Job;
    public string? System => begun.System;
    public DateTimeOffset Begun => begun.Begun;

    /// <summary>Number of the next block wanted: one sent twice is taken once.</summary>
    public int Next { get { lock (gate) return next; } }
    /// <summary>Seconds really heard.</summary>
    public double Listened { get { lock (gate) return watcher is { } w ? Math.Max(0, w.Seconds - w.Unheard) : 0; } }
    /// <summary>What this machine missed: nothing of the set.</summary>
    public ImmutableArray<WatchGap> Gaps { get { lock (gate) return watcher?.Gaps ?? []; } }
    public ImmutableArray<WatchEvent> Events { get { lock (gate) return watcher?.Events ?? []; } }
    public ImmutableArray<Trial> Tried { get { lock (gate) return tried; } }

    /// <summary>Clips are cut in the order of the events, of the first so many.</summary>
    public IReadOnlyList<Happened> All { get { lock (gate) return [.. Events.Select((e, i) => new Happened(i, e, i < clips))]; } }

    /// <param name="number">Counted from 0; a block that came already is passed over, and one too early is refused.</param>
    /// <param name="missed">Stretches of the block that the machine did not hear.</param>
    /// <returns>False when an earlier block is missing, or the rate has changed in the middle.</returns>
    public bool Feed(int number, int blockRate, ReadOnlySpan<float> block, ReadOnlySpan<Missed> missed = default)
    {
        lock (gate)
        {
            if (number < next) return true;
            if (gone || number > next || (watcher is not null && blockRate != rate)) return false;
            watcher ??= new(rate = blockRate, new(begun.LineHertz));
            var x = new double[block.Length];
            for (var i = 0; i < x.Length; i++) x[i] = float.IsFinite(block[i]) ? block[i] : 0;
            watcher.Feed(x, missed);
            foreach (var v in block) last.Enqueue(v);
            while (last.Count > KeptSeconds * rate) last.Dequeue();
            next++;
            Cut();
            return true;
        }
    }

    /// <summary>All of it onto the disk; durable when the call returns.</summary>
    public void Keep()
    {
        lock (gate) if (!gone) folder.Keep(begun with { Rate = rate, Next = next, Clips = clips, Tried = tried, Watch = watcher?.Memory });
    }

    public void Try(DateTimeOffset at, bool good)
    {
        lock (gate) tried = tried.Add(new(at, good));
        Keep();
    }

    public Stream? OpenClip(int number) => number >= 0 && number < MostClips ? folder.OpenClip(number) : null;

    /// <summary>Nothing of it is left, and nothing more is kept.</summary>
    public void Erase()
    {
        lock (gate)
        {
            gone = true;
            folder.Erase();
        }
    }

    /// <summary>A call and a chime are tried every quarter of an hour (common practice, no source).</summary>
    public DateTimeOffset Due => (Tried.IsEmpty ? Begun : Tried[^1].At).AddMinutes(15);

    /// <summary>What is to be said at the end.</summary>
    /// <param name="account">How often it showed at home, in how many weeks of how many hours; null when nobody can tell. Only a clean run is worth something.</param>
    public string Said((int Times, double Weeks, double HoursAWeek)? account)
    {
        var (events, trials) = (Events, Tried);
        var bad = trials.Count(t => !t.Good);
        var said = events.Length == 0 ? "nothing happened" : string.Join(", ", events.GroupBy(e => e.Kind).Select(g => FormattableString.Invariant($"{Word(g.Key)} {(g.Count() == 1 ? "once" : $"{g.Count()} times")}")));
        var gaps = Gaps;
        if (!gaps.IsEmpty) said += $"; {EventWords.Missed(gaps)}";
        if (!trials.IsEmpty) said += $"; calls and chimes tried {(trials.Length == 1 ? "once" : $"{trials.Length} times")}, {(bad == 0 ? "as they should" : $"{bad} not as they should")}";
        if (account is { } a && events.Length == 0 && bad == 0) said += ". " + CleanRun.ByHours(a.Times, a.Weeks, a.HoursAWeek, Math.Round(Listened / 3600, 1)).Words;
        return said;
    }

    public Plot Timeline()
    {
        ImmutableArray<WatchMinute> minutes;
        ImmutableArray<WatchEvent> events;
        lock (gate) (minutes, events) = (watcher?.Minutes ?? [], watcher?.Events ?? []);
        // In minutes up to two hours, in hours beyond.
        var (unit, per, span) = minutes.Length < 120 ? ("min", 1.0, Math.Max(5.0, minutes.Length + 1)) : ("h", 60.0, (minutes.Length + 1) / 60.0);
        return new("The watch, minute by minute", new(unit, 0, span), new("dBFS", -120, 0),
            [new("level", [.. minutes.Where(m => !double.IsNaN(m.RmsDbfs)).Select(m => ((m.Minute + 0.5) / per, Math.Max(-120, m.RmsDbfs)))]),
             new("hum", [.. minutes.Where(m => m.HumDbfs is not null).Select(m => ((m.Minute + 0.5) / per, Math.Max(-120, m.HumDbfs!.Value)))], true)],
            [.. Marks(events, 60 * per, span)]);
    }

    /// <summary>The first events; a word only where it does not stand on the last one's.</summary>
    private static IEnumerable<PlotMark> Marks(ImmutableArray<WatchEvent> events, double secondsPer, double span)
    {
        var free = double.NegativeInfinity;
        foreach (var e in events.Take(24))
        {
            var at = e.At / secondsPer;
            yield return new(at, -10, at < free ? "" : Word(e.Kind));
            if (at >= free) free = at + 0.12 * span;
        }
    }

    public static string Word(WatchKind kind) => kind switch
    {
        WatchKind.FellSilent => "fell silent", WatchKind.LevelMoved => "level moved", WatchKind.HumRose => "hum rose", WatchKind.DropOut => "drop-out", _ => "clicks",
    };

    private void Cut()
    {
        for (; clips < Math.Min(MostClips, watcher!.Events.Length); clips++)
        {
            using var bytes = new MemoryStream();
            WavWriter.Write(bytes, new(rate, [.. last.Select(v => (double)Math.Clamp(v, -1f, 1f))]));
            folder.KeepClip(clips, bytes.ToArray());
        }
    }
}
