namespace Bellwire.Circuits;

/// <summary>What parts have gathered so far: heat beyond their watts, and a fuse's A²s less what it sheds.</summary>
internal sealed class HeatAccount
{
    private readonly Dictionary<string, double> _gathered = [];

    /// <summary>The fuse that melts first in a run, if one does.</summary>
    public Overload? FirstToMelt(Transient t, Netlist circuit, double from)
    {
        Overload? first = null;
        foreach (var f in circuit.Devices.OfType<Fuse>())
        {
            if (f.Ratings?.MeltingAmpereSquaredSeconds is not { } melting) continue;
            var w = t.Amperes(f.Name);
            if (Walk(w, _gathered.GetValueOrDefault(f.Name), (gathered, i) => i * i - gathered / f.ShedSeconds!.Value, melting).Passed is { } at && (first is null || at < first.AtSeconds))
                first = new(f.Name, Strain.Melts, w.Integral((i, s) => s <= at ? i * i : 0), melting, at);
        }
        return first;
    }

    /// <summary>First passings of volts and heat in a run.</summary>
    public IEnumerable<Overload> Passings(Transient t, Netlist circuit)
    {
        foreach (var d in circuit.Devices)
        {
            if (d.Ratings is not { } r) continue;
            if (r.Volts is { } most && Stress.RatedWave(d, (a, b) => t.Volts(a, b)) is var v && First(v, most) is { } at) yield return new(d.Name, Strain.Volts, v.Max, most, at);
            if (r.ReverseVolts is { } back && t.Volts(d.Nodes[1], d.Nodes[0]) is var b && First(b, back) is { } when) yield return new(d.Name, Strain.ReverseVolts, b.Max, back, when);
            if (r is { Watts: { } watts, JoulesToDamage: { } joules } && Walk(t.Watts(d.Name), _gathered.GetValueOrDefault(d.Name), (_, p) => p - watts, joules) is { Passed: { } hot } walked)
                yield return new(d.Name, Strain.Heat, Math.Max(walked.End, joules), joules, hot);
        }
    }

    /// <summary>Keeps what was gathered up to the end of a run.</summary>
    public void Carry(Transient t, Netlist circuit)
    {
        foreach (var d in circuit.Devices)
        {
            if (d is Fuse { ShedSeconds: { } shed } f) _gathered[d.Name] = Walk(t.Amperes(d.Name), _gathered.GetValueOrDefault(d.Name), (g, i) => i * i - g / shed, double.PositiveInfinity).End;
            else if (d.Ratings is { Watts: { } watts, JoulesToDamage: not null }) _gathered[d.Name] = Walk(t.Watts(d.Name), _gathered.GetValueOrDefault(d.Name), (_, p) => p - watts, double.PositiveInfinity).End;
        }
    }

    private static double? First(Wave w, double most)
    {
        for (var k = 0; k < w.Values.Length; k++) if (w.Values[k] > most) return w.Times[k];
        return null;
    }

    /// <summary>Gathers a rate over a wave, never below nothing, until a limit.</summary>
    private static (double End, double? Passed) Walk(Wave w, double start, Func<double, double, double> rate, double limit)
    {
        var sum = start;
        var times = w.Times;
        var values = w.Values;
        for (var k = 1; k < times.Length; k++)
        {
            var h = times[k] - times[k - 1];
            var next = Math.Max(0, sum + h / 2 * (rate(sum, values[k - 1]) + rate(sum, values[k])));
            if (next > limit) return (next, times[k - 1] + h * (limit - sum) / (next - sum));
            sum = next;
        }
        return (sum, null);
    }
}
