using System.Collections.Immutable;

namespace Bellwire.Reasoning.Clashes;

/// <summary>One tape with entries left out or things put in, weighed.</summary>
internal sealed class Tapes(Case c, ClashOptions options, WeighOptions weigh, CancellationToken ct)
{
    private readonly Dictionary<string, string?> _offences = [];
    private Weighing? _last;

    public Case Case => c;

    /// <summary>Weighings still allowed; below nought when they ran out.</summary>
    public int Left { get; private set; } = options.Weighings;

    /// <summary>The first entry that can, or can hardly, have happened with these left out; null when the tape is plausible.</summary>
    public string? Offence(ImmutableSortedSet<string> left)
    {
        var key = string.Join("\n", left);
        if (_offences.TryGetValue(key, out var known)) return known;
        return _offences[key] = OffenceOf(Without(left));
    }

    /// <summary>ln p of a tape; null when it is implausible, or the allowance ran out.</summary>
    public double? LogEvidence(ImmutableArray<CaseEvent> events, bool plausible = true)
    {
        if (plausible && OffenceOf(events) is not null) return null;
        return Weigh(events)?.Posterior?.LogEvidence;
    }

    public ImmutableArray<CaseEvent> Without(ImmutableSortedSet<string> left) =>
        [.. c.Events.Where(e => e is not CaseEvent.Observe || !left.Contains(e.Entry))];

    /// <summary>Entries up to the offending one of which none can be left out without the offence going: a clash that is as small as it gets.</summary>
    public ImmutableArray<string> ClashAt(ImmutableSortedSet<string> left, string entry)
    {
        var events = Without(left);
        var end = 0;
        for (var i = 0; i < events.Length; i++)
            if (events[i].Entry == entry) end = i + 1;
        events = events[..end];
        var looks = events.OfType<CaseEvent.Observe>().Select(e => e.Entry).Distinct().Where(e => e != entry).Reverse().ToList();
        // Halves first: most of a long tape has no part in a clash.
        for (var size = Math.Max(1, looks.Count / 2); Left >= 0; size /= 2)
        {
            for (var at = 0; at < looks.Count && Left >= 0;)
            {
                var some = looks.Skip(at).Take(size).ToHashSet();
                ImmutableArray<CaseEvent> fewer = [.. events.Where(e => e is not CaseEvent.Observe || !some.Contains(e.Entry))];
                if (OffenceOf(fewer) == entry)
                {
                    events = fewer;
                    looks.RemoveAll(some.Contains);
                }
                else at += size;
            }
            if (size <= 1) break;
        }
        return [entry, .. looks];
    }

    private string? OffenceOf(ImmutableArray<CaseEvent> events)
    {
        if (Weigh(events) is not { } w) return null;
        if (w.Posterior is { } p) return p.Entries.FirstOrDefault(e => e.Surprise > options.Limit)?.Entry;
        // The clash ends with the entry that made it one.
        var clash = w.Contradiction!.Entries.ToHashSet();
        return events.OfType<CaseEvent.Observe>().Last(e => clash.Contains(e.Entry)).Entry;
    }

    private Weighing? Weigh(ImmutableArray<CaseEvent> events)
    {
        ct.ThrowIfCancellationRequested();
        if (_last is not null && _last.Case.Events.SequenceEqual(events)) return _last;
        if (--Left < 0) return null;
        var w = Reasoner.Weigh(c with { Events = events }, weigh, ct, _last);
        if (w.Posterior is not null) _last = w;
        options.Weighed?.Invoke(options.Weighings - Left);
        return w;
    }
}
