using System.Collections.Immutable;

namespace Bellwire.Signals;

/// <summary>What a watcher is asked.</summary>
/// <param name="LineHertz">50 or 60 Hz.</param>
/// <param name="SilentDb">Below the usual level by this much for a second or longer: fell silent. dB, default 20.</param>
/// <param name="ShiftDb">Away from the usual level for half a minute by this much: the level moved. dB, default 6.</param>
/// <param name="HumDb">Hum above its first five minutes by this much: hum rose. dB, default 6.</param>
public sealed record WatchAsked(double LineHertz = 60, double SilentDb = 20, double ShiftDb = 6, double HumDb = 6);

/// <summary>What can happen in hours of listening.</summary>
public enum WatchKind { FellSilent, LevelMoved, HumRose, DropOut, Clicks }

/// <summary>One event.</summary>
/// <param name="At">Seconds since the watch began.</param>
/// <param name="Seconds">How long; null while it lasts.</param>
/// <param name="Db">How far level or hum moved; for clicks, how many.</param>
public sealed record WatchEvent(WatchKind Kind, double At, double? Seconds, double Db);

/// <summary>One minute in short; NaN where nothing of it was heard.</summary>
/// <param name="RmsDbfs">Middle of its sixty seconds.</param>
/// <param name="HumDbfs">Last hum measured in it; null before the first.</param>
public sealed record WatchMinute(int Minute, double LowestDbfs, double RmsDbfs, double HighestDbfs, double PeakDbfs, double? HumDbfs);

/// <summary>Listens for hours, block by block: level each second, hum every ten, drop-outs and clicks as they come; keeps minutes and
/// events only, so that memory hardly grows. Cutting the sound into other blocks changes nothing.</summary>
public sealed partial class Watcher
{
    private const int MostEvents = 10_000, HumSeconds = 10, ShiftSeconds = 30, ClickBurst = 3;
    private readonly int _rate;
    private readonly WatchAsked _asked;
    private readonly TroubleMeter _troubles;
    private readonly List<WatchEvent> _events = [];
    private readonly List<WatchMinute> _minutes = [];
    private readonly List<double> _minute = [], _firstHum = [];
    private readonly Queue<double> _usual = new();
    private LevelMeter _level;
    private HumMeter _hum;
    private readonly int _from;
    private int _inSecond, _seconds, _sinceHum, _moved, _open = -1, _openHum = -1, _openShift = -1;
    private double _peak, _openUsual;
    private double? _lastHum;

    public Watcher(int rate, WatchAsked asked)
    {
        ArgumentNullException.ThrowIfNull(asked);
        (_rate, _asked) = (rate, asked);
        (_level, _hum, _troubles) = (new(rate), new(rate, asked.LineHertz), new(rate));
    }

    /// <summary>Goes on where another stood.</summary>
    /// <exception cref="ArgumentException">No watch can stand there.</exception>
    public Watcher(int rate, WatchAsked asked, WatcherMemory memory) : this(rate, asked)
    {
        ArgumentNullException.ThrowIfNull(memory);
        if (memory.Complaint is { } wrong) throw new ArgumentException($"The memory of a watch contradicts itself: {wrong}.", nameof(memory));
        _events.AddRange(memory.Events);
        _minutes.AddRange(memory.Minutes);
        _minute.AddRange(memory.Minute);
        _firstHum.AddRange(memory.FirstHum);
        foreach (var db in memory.Usual) _usual.Enqueue(db);
        (_from, _seconds, _moved, _openShift) = (memory.Seconds, memory.Seconds, memory.Moved, memory.MovedFrom);
        (_open, _openUsual, _openHum, _peak, _lastHum) = (memory.Silent, memory.UsualThen, memory.Humming, memory.Peak, memory.LastHum);
        if (!memory.Gaps.IsDefault) _gaps.AddRange(memory.Gaps);
        _unheard = memory.Unheard;
    }

    /// <summary>Where it stands at the last whole second.</summary>
    public WatcherMemory Memory => new(_seconds, Events, Minutes, [.. _minute], [.. _firstHum], [.. _usual], _moved, _openShift, _open, _openUsual, _openHum, _peak, _lastHum, Gaps, _unheard);

    /// <summary>Whole seconds listened to.</summary>
    public int Seconds => _seconds;
    /// <summary>Events so far, in the order they began; the first ten thousand.</summary>
    public ImmutableArray<WatchEvent> Events => [.. _events];
    public ImmutableArray<WatchMinute> Minutes => [.. _minutes];

    public void Feed(ReadOnlySpan<double> samples)
    {
        while (samples.Length > 0)
        {
            var take = Math.Min(samples.Length, _rate - _inSecond);
            _level.Feed(samples[..take]);
            _hum.Feed(samples[..take]);
            _troubles.Feed(samples[..take]);
            samples = samples[take..];
            if ((_inSecond += take) == _rate) EndSecond();
        }
    }

    private void EndSecond()
    {
        var level = _level.Finish();
        (_level, _inSecond) = (new(_rate), 0);
        // A second of which half was missed says nothing of the set's level.
        var db = level.Frames < _rate / 2 ? double.NaN : Math.Max(-140, level.AcRmsDbfs);
        if (!double.IsNaN(db)) { Silence(db); Shift(db); }
        var drops = _troubles.Take(out var clicks);
        foreach (var drop in drops) Add(new(WatchKind.DropOut, _from + drop.At, drop.Seconds, drop.Db));
        if (clicks >= ClickBurst) Add(new(WatchKind.Clicks, _seconds, 1, clicks));
        _seconds++;
        if (++_sinceHum == HumSeconds) Hum();
        _minute.Add(db);
        _peak = Math.Max(_peak, level.Peak);
        if (_minute.Count < 60) return;
        double[] heard = [.. _minute.Where(d => !double.IsNaN(d))];
        _minutes.Add(heard.Length == 0 ? new(_minutes.Count, double.NaN, double.NaN, double.NaN, double.NaN, null)
            : new(_minutes.Count, heard.Min(), Sums.Median(heard.AsSpan()), heard.Max(), Decibels.Of(_peak), _lastHum));
        _minute.Clear();
        _peak = 0;
    }

    private double Usual() => _usual.Count < 5 ? double.NegativeInfinity : Sums.Median([.. _usual]);

    private void Silence(double db)
    {
        if (_open >= 0)
        {
            var now = _events[_open];
            if (db < _openUsual - _asked.SilentDb / 2) { _events[_open] = now with { Db = Math.Max(now.Db, _openUsual - db) }; return; }
            _events[_open] = now with { Seconds = _seconds - now.At };
            _open = -1;
        }
        else if (db < Usual() - _asked.SilentDb)
        {
            _openUsual = Usual();
            _open = Add(new(WatchKind.FellSilent, _seconds, null, _openUsual - db));
        }
    }

    /// <summary>The usual level is the middle of the last minute; while it is silent, or has just moved, it stands still.</summary>
    private void Shift(double db)
    {
        if (_open >= 0) return;
        var away = db - Usual();
        _moved = double.IsFinite(away) && Math.Abs(away) > _asked.ShiftDb ? _moved + 1 : 0;
        if (_moved == 1) _openShift = _seconds;
        if (_moved == ShiftSeconds)
        {
            Add(new(WatchKind.LevelMoved, _openShift, null, away));
            _usual.Clear();
            _moved = 0;
        }
        if (_moved > 0) return;
        _usual.Enqueue(db);
        if (_usual.Count > 60) _usual.Dequeue();
    }

    private void Hum()
    {
        var hum = _hum.Finish();
        (_hum, _sinceHum) = (new(_rate, _asked.LineHertz), 0);
        if (hum is null) return;
        var db = Math.Max(-140, Decibels.Of(Math.Max(hum.Rms, 0)));
        _lastHum = db;
        if (_firstHum.Count < 30) { _firstHum.Add(db); if (_firstHum.Count < 3) return; }
        var above = db - Math.Max(-100, Sums.Median([.. _firstHum]));
        if (_openHum < 0 && above > _asked.HumDb) _openHum = Add(new(WatchKind.HumRose, _seconds - HumSeconds, null, above));
        else if (_openHum >= 0)
        {
            var now = _events[_openHum];
            if (above > _asked.HumDb / 2) { _events[_openHum] = now with { Db = Math.Max(now.Db, above) }; return; }
            _events[_openHum] = now with { Seconds = _seconds - HumSeconds - now.At };
            _openHum = -1;
        }
    }

    private int Add(WatchEvent happened)
    {
        if (_events.Count >= MostEvents) return -1;
        _events.Add(happened);
        return _events.Count - 1;
    }
}
