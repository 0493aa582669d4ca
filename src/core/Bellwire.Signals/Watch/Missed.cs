using System.Collections.Immutable;

namespace Bellwire.Signals;

/// <summary>A stretch of a block that whoever records did not hear: a buffer that came too late and was filled with silence, or time that
/// passed without samples. It says nothing of the set.</summary>
/// <param name="From">First sample of it in the block, from 0.</param>
/// <param name="Samples">How many samples stand in its place; 0 when there are none.</param>
/// <param name="Seconds">How long it lasted.</param>
public readonly record struct Missed(int From, int Samples, double Seconds);

/// <summary>A gap in the listening itself.</summary>
/// <param name="At">Seconds since the watch began.</param>
/// <param name="Seconds">How long; several within a second of each other are one.</param>
public sealed record WatchGap(double At, double Seconds);

public sealed partial class Watcher
{
    private readonly List<WatchGap> _gaps = [];
    private double _unheard;

    /// <summary>What was missed, in order; the first ten thousand, the rest added to the last.</summary>
    public ImmutableArray<WatchGap> Gaps => [.. _gaps];

    /// <summary>Seconds among <see cref="Seconds"/> in which nothing was heard; time without samples is not among either.</summary>
    public double Unheard => _unheard;

    /// <summary>A block, parts of which were missed: they are passed over, and are no silence, drop-out or click of the set.</summary>
    /// <param name="missed">Rising, none reaching into the next or beyond the block.</param>
    /// <exception cref="ArgumentException">They do not lie so, or a length is negative or no number.</exception>
    public void Feed(ReadOnlySpan<double> samples, ReadOnlySpan<Missed> missed)
    {
        var at = 0;
        foreach (var m in missed)
        {
            if (m.From < at || m.Samples < 0 || m.From + (long)m.Samples > samples.Length || !(m.Seconds >= 0 && double.IsFinite(m.Seconds)))
                throw new ArgumentException($"A missed stretch from {m.From} of {m.Samples} samples, {m.Seconds} s, does not lie in a block of {samples.Length} behind {at}.", nameof(missed));
            at = m.From + m.Samples;
        }
        at = 0;
        foreach (var m in missed)
        {
            Feed(samples[at..m.From]);
            Miss(m);
            at = m.From + m.Samples;
        }
        Feed(samples[at..]);
    }

    private void Miss(Missed m)
    {
        Gap(_seconds + (double)_inSecond / _rate, m.Seconds);
        _unheard += (double)m.Samples / _rate;
        // The ten seconds of hum begin anew: a seam would smear its lines.
        (_hum, _sinceHum) = (new(_rate, _asked.LineHertz), 0);
        _troubles.PassOver(m.Samples);
        for (var left = m.Samples; left > 0;)
        {
            var take = Math.Min(left, _rate - _inSecond);
            left -= take;
            if ((_inSecond += take) == _rate) EndSecond();
        }
    }

    private void Gap(double at, double seconds)
    {
        if (_gaps.Count > 0 && (_gaps.Count == MostEvents || at <= _gaps[^1].At + _gaps[^1].Seconds + 1)) _gaps[^1] = _gaps[^1] with { Seconds = _gaps[^1].Seconds + seconds };
        else _gaps.Add(new(at, seconds));
    }
}
