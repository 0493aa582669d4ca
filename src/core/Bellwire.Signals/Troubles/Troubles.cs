using System.Collections.Immutable;

namespace Bellwire.Signals;

/// <summary>A place in a recording, seconds from its start.</summary>
/// <param name="Seconds">How long it lasts.</param>
/// <param name="Db">A click: over the hiss around it. A drop-out: how far the level fell.</param>
public sealed record Place(double At, double Seconds, double Db);

/// <summary>What went wrong in a recording.</summary>
/// <param name="ClippedRuns">Runs of three or more equal samples at the very top or bottom of what occurs.</param>
/// <param name="ClipLevel">Where they lie, re full scale; 0 when there are none.</param>
/// <param name="ClippedShare">Share of all samples inside such runs.</param>
/// <param name="Clicks">The first 1 000 clicks.</param>
/// <param name="DropOuts">The first 1 000 drop-outs.</param>
public sealed record Troubles(long ClippedRuns, double ClipLevel, double ClippedShare, ImmutableArray<Place> Clicks, ImmutableArray<Place> DropOuts, HowMeasured How)
{
    /// <summary>Clipped beyond chance: more than a handful of flat tops.</summary>
    public bool Clipped => ClippedRuns >= 5;
}

/// <summary>Finds clipping, clicks and drop-outs over blocks.</summary>
public sealed class TroubleMeter
{
    private const int Most = 1000;
    private const double ClickTimes = 12, DropDb = 20, SlotSeconds = 0.005;
    private readonly int _rate, _slot;
    private readonly ImmutableArray<Place>.Builder _clicks = ImmutableArray.CreateBuilder<Place>(), _drops = ImmutableArray.CreateBuilder<Place>();
    private readonly Queue<double> _around = new();
    private Extreme _top = new(), _bottom = new();
    private double _last = double.NaN, _steps = 128, _x1, _x2;
    private long _frames;
    private int _run, _inSlot, _seam = 2; // bends are reckoned from the third sample on
    private double _slotSquares, _slotBends, _slotWorst, _hiss = -1, _usual, _deepest = double.PositiveInfinity;
    private long _worstAt, _dropFrom = -1;

    public TroubleMeter(int rate)
    {
        Samples.Rate(rate);
        (_rate, _slot) = (rate, Math.Max(8, (int)(rate * SlotSeconds)));
    }

    public void Feed(ReadOnlySpan<double> samples)
    {
        foreach (var x in samples)
        {
            Flat(x);
            // The second difference hides music and shows steps; its size against that of the slots before tells a click.
            var bend = _seam == 0 ? Math.Abs(x - 2 * _x1 + _x2) : 0;
            if (_seam > 0) _seam--;
            (_x2, _x1) = (_x1, x);
            _slotSquares += x * x;
            _slotBends += bend;
            if (bend > _slotWorst) (_slotWorst, _worstAt) = (bend, _frames);
            _frames++;
            if (++_inSlot == _slot) EndSlot();
        }
    }

    /// <summary>So many samples were not heard: places behind them stay true, and the seam is neither click nor drop-out.</summary>
    internal void PassOver(int samples)
    {
        _frames += samples;
        (_slotSquares, _slotBends, _slotWorst, _inSlot, _run, _last) = (0, 0, 0, 0, 0, double.NaN);
        (_seam, _dropFrom) = (2, -1);
    }

    /// <summary>Runs of equal samples at the extreme so far; a new extreme starts the count again.</summary>
    private void Flat(double x)
    {
        // The steps the samples came in: 8, 16, 24 or 32 bits, or none that matter.
        while (_steps < 4e9 && x * _steps != Math.Truncate(x * _steps)) _steps *= 256;
        _run = x == _last ? _run + 1 : 1;
        _last = x;
        if (x >= _top.Band) _top.Count(x, _run);
        if (-x >= _bottom.Band) _bottom.Count(-x, _run);
    }

    /// <summary>One end of the scale: its extreme, the flat runs there, and all samples within a hundredth of it.</summary>
    private struct Extreme()
    {
        public double Most = double.NegativeInfinity, Band = double.NegativeInfinity;
        public long Runs, Flat, Near;

        public void Count(double x, int run)
        {
            if (x > Most)
            {
                (Runs, Flat, Near) = (0, 0, Most > 0 && Most >= 0.99 * x ? Near : 0);
                (Most, Band) = (x, x > 0 ? 0.99 * x : x);
            }
            Near++;
            if (x < Most) return;
            if (run == 3) { Runs++; Flat += 3; } else if (run > 3) Flat++;
        }

        /// <summary>More flat than a smooth wave in steps: of the samples within d of a rounded top, the share within one step q is
        /// √(q/d), whatever the wave. Twice that is clipping.</summary>
        public readonly bool Clipped(double quantum) => Most > 0 && Flat > 2 * Near * Math.Sqrt(Math.Min(1, quantum / (0.01 * Most)));
    }

    private void EndSlot()
    {
        var rms = Math.Sqrt(_slotSquares / _slot);
        // The largest bend is taken out of its own yardstick.
        var hiss = (_slotBends - _slotWorst) / (_slot - 1);
        var yard = Math.Max(Math.Max(hiss, _hiss), 1e-7);
        if (_hiss >= 0 && _slotWorst > ClickTimes * yard && _clicks.Count < Most && (_clicks.Count == 0 || (double)_worstAt / _rate - _clicks[^1].At > SlotSeconds))
            _clicks.Add(new((double)_worstAt / _rate, 1.0 / _rate, Decibels.Of(_slotWorst / yard)));
        _hiss = _hiss < 0 ? hiss : 0.9 * _hiss + 0.1 * hiss;
        Drop(rms);
        _around.Enqueue(rms * rms);
        _usual += rms * rms;
        if (_around.Count > 1 / SlotSeconds) _usual -= _around.Dequeue();
        (_slotSquares, _slotBends, _slotWorst, _inSlot) = (0, 0, 0, 0);
    }

    /// <summary>A drop-out: 20 dB or more below the second before, for 10 ms to 5 s, and back within 10 dB.</summary>
    private void Drop(double rms)
    {
        var slotStart = _frames - _slot;
        if (_dropFrom < 0)
        {
            var usual = _around.Count < 40 ? 0 : Math.Sqrt(Math.Max(0, _usual) / _around.Count);
            if (usual < 1e-5 || !(rms < usual / Decibels.Ratio(DropDb))) return;
            (_dropFrom, _before, _deepest) = (slotStart, usual, rms);
            return;
        }
        _deepest = Math.Min(_deepest, rms);
        var seconds = (double)(slotStart - _dropFrom) / _rate;
        if (seconds > 5) { _dropFrom = -1; _around.Clear(); _usual = 0; return; }
        if (rms < _before / Decibels.Ratio(10)) return;
        if (seconds >= 0.0099 && _drops.Count < Most) _drops.Add(new((double)_dropFrom / _rate, seconds, Decibels.Of(_before / Math.Max(_deepest, 1e-9))));
        _dropFrom = -1;
    }

    private double _before;

    /// <summary>What was found since the last call, and forgets it: for hours of listening.</summary>
    internal ImmutableArray<Place> Take(out int clicks)
    {
        clicks = _clicks.Count;
        var drops = _drops.ToImmutable();
        _clicks.Clear();
        _drops.Clear();
        return drops;
    }

    public Troubles Finish()
    {
        // A square wave or digital silence is flat all the time: then the flat tops are the signal, not its clipping.
        var ends = new[] { _top, _bottom }.Where(e => e.Clipped(1 / _steps)).ToArray();
        var (runs, samples) = (ends.Sum(e => e.Runs), ends.Sum(e => e.Flat));
        if (samples > 0.9 * _frames) (runs, samples) = (0, 0);
        var level = runs == 0 ? 0 : ends.MaxBy(e => e.Runs).Most;
        return new(runs, level, _frames == 0 ? 0 : (double)samples / _frames, _clicks.ToImmutable(), _drops.ToImmutable(),
            new("flat runs at the extremes; second difference over 12 times the slots before; level 20 dB under the second before", "none", 0, _rate / 2.0, 1));
    }

    public static Troubles Measure(ReadOnlySpan<double> samples, int rate)
    {
        var meter = new TroubleMeter(rate);
        meter.Feed(samples);
        return meter.Finish();
    }
}
