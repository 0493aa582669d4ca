using System.Collections.Immutable;

namespace Bellwire.Circuits;

/// <summary>
/// A circuit under a foreign source, window by window: what gives way in a window changes the circuit, and the rest goes on from
/// that instant. Once the run is over the next to give way is reckoned on from the means of a window, and a window of what is left is run.
/// </summary>
internal sealed class Burning(Netlist circuit, double seconds, double longest, double window, bool reckonOn, CancellationToken cancel)
{
    /// <summary>Parts that may give way before it is left at that.</summary>
    public const int Most = 40;

    private readonly HeatAccount _heat = new();
    private readonly StageMeans _means = new();
    private readonly Dictionary<(string Part, Strain What), Overload> _strains = [];
    private readonly List<GivingWay> _gone = [];
    private readonly HashSet<string> _broken = [];
    private ImmutableDictionary<string, ImmutableArray<double>>? _states;
    private Netlist _now = circuit;

    /// <summary>Seconds run through in time, and seconds reckoned over.</summary>
    private double _ran, _skipped;

    public Netlist End => _now;
    public ImmutableArray<GivingWay> Gone => [.. _gone];

    /// <summary>Why it was left before all was at rest; null when it was not.</summary>
    public NotConverged? Stuck { get; private set; }
    public bool LeftAtThat { get; private set; }

    /// <returns>Why nothing can be said, or null.</returns>
    public NotConverged? Go(ImmutableDictionary<string, ImmutableArray<double>>? states)
    {
        const double Sliver = 1e-6;
        _states = states;
        var calm = 0; // whole windows since the last part gave way: the first still holds what its going stirred up
        while (true)
        {
            var length = _ran < seconds - Sliver ? Math.Min(window, seconds - _ran) : window;
            if (Run(length) is not { } t) return Failed();
            if (_heat.First(t, _now) is { } first)
            {
                // Up to that instant once more, so that the states are those of it.
                length = Math.Max(first.At - _ran, 1e-9);
                if (Run(length) is not { } part) return Failed();
                Take(part, length);
                GiveWay(first.Part, first.Why with { AtSeconds = _ran + _skipped });
                calm = 0;
                if (LeftAtThat) return null;
                continue;
            }
            Take(t, length);
            if (_ran < seconds - Sliver) continue;
            if (!reckonOn) return null;
            calm += length >= 0.999 * window ? 1 : 0;
            if (length < 0.999 * window || (calm < 2 && _gone.Count > 0)) continue;
            if (_heat.Next(t, _now) is not { } next) return null;
            _heat.Leap(t, _now, next.After);
            _skipped += next.After;
            GiveWay(next.Part, next.Why with { AtSeconds = _ran + _skipped });
            calm = 0;
            if (LeftAtThat) return null;
        }
    }

    /// <summary>Every strain that is judged, passed or not: volts and what did for a part, then what is judged over a stage.</summary>
    public ImmutableArray<Overload> Strains(Netlist whole) => [.. _strains.Values, .. _means.Worst(whole, window)];

    /// <summary>What gave way before it stuck is told all the same.</summary>
    private NotConverged? Failed() => _gone.Count == 0 ? Stuck : null;

    /// <summary>A run, and where it sticks once more in finer steps: far beyond their ratings junctions turn so fast that a step's tangent may miss them.</summary>
    private Transient? Run(double length)
    {
        var options = new TransientOptions(length) { FromSeconds = _ran, LongestStep = Math.Min(longest, length), Tolerance = 1e-4, States = _states };
        var run = Transient.Run(_now, options, cancel);
        // Without a reservoir to hold it a junction may not be found from nothing: begin from where the sources would settle.
        if (run.Value is null) run = Transient.Run(_now, options with { Start = TransientStart.Settled }, cancel);
        for (var finer = 4.0; run.Value is null && finer <= 64; finer *= 4) run = Transient.Run(_now, options with { LongestStep = options.LongestStep / finer }, cancel);
        Stuck = run.Failure;
        return run.Value;
    }

    private void Take(Transient t, double length)
    {
        foreach (var peak in HeatAccount.Peaks(t, _now).Where(p => !_broken.Contains(p.Part)))
        {
            var key = (peak.Part, peak.What);
            var at = peak.AtSeconds + _skipped;
            _strains[key] = _strains.TryGetValue(key, out var known) ? known with { Actual = Math.Max(known.Actual, peak.Actual), AtSeconds = known.AtSeconds ?? at } : peak with { AtSeconds = at };
        }
        _means.Add(t, _now, length, part => !_broken.Contains(part));
        _heat.Carry(t, _now);
        (_states, _ran) = (t.End, _ran + length);
    }

    private void GiveWay(string part, Overload why)
    {
        // Volts have been noted by their first passing; what a part bore after it broke is not its own any more.
        var whole = _broken.Add(part);
        if (whole && why.What != Strain.Volts) _strains[(part, why.What)] = why;
        _means.Close();
        _heat.Forget(part);
        (_now, var ending) = Destruction.Break(_now, part);
        _gone.Add(new(part, ending, why.AtSeconds!.Value, _skipped > 0));
        LeftAtThat = _gone.Count >= Most;
    }
}
