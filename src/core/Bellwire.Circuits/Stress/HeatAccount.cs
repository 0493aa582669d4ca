namespace Bellwire.Circuits;

/// <summary>What parts have gathered so far: heat beyond their watts, and a fuse's A²s less what it sheds.</summary>
internal sealed class HeatAccount
{
    private readonly Dictionary<string, double> _gathered = [];

    /// <summary>The part that gives way first in a run, if one does: a fuse that melts, a part that has gathered what it survives, a semiconductor far past its volts.</summary>
    /// <returns>The part, the instant of the run, and the strain that did it.</returns>
    public (string Part, double At, Overload Why)? First(Transient t, Netlist circuit)
    {
        (string Part, double At, Overload Why)? first = null;
        foreach (var d in circuit.Devices)
        {
            if (d.Ratings is not { } r) continue;
            if (d is Fuse { Ratings.MeltingAmpereSquaredSeconds: { } melting, ShedSeconds: { } shed })
                Earlier(Walk(t.Amperes(d.Name), Gathered(d), (g, i) => i * i - g / shed, melting).Passed, Strain.Melts, melting, melting);
            if (r is { Watts: { } watts, JoulesToDamage: { } joules })
                Earlier(Walk(t.Watts(d.Name), Gathered(d), (_, p) => p - watts, joules).Passed, Strain.Heat, joules, joules);
            if (r.Volts is { } most && Destruction.IsSemiconductor(d) && Stress.RatedWave(d, (a, b) => t.Volts(a, b)) is var v)
                Earlier(Passed(v, Destruction.BreaksAtTimesVolts * most), Strain.Volts, Destruction.BreaksAtTimesVolts * most, most);

            void Earlier(double? at, Strain what, double actual, double allowed)
            {
                if (at is { } s && (first is not { } f || s < f.At)) first = (d.Name, s, new(d.Name, what, actual, allowed, s));
            }
        }
        return first;
    }

    /// <summary>Volts in a run against what they may be, with the largest reached; the instant only where that is passed.</summary>
    public static IEnumerable<Overload> Peaks(Transient t, Netlist circuit)
    {
        foreach (var d in circuit.Devices)
        {
            if (d.Ratings is not { } r) continue;
            if (r.Volts is { } most && Stress.RatedWave(d, (a, b) => t.Volts(a, b)) is { Max: > 0 } v) yield return Peak(d, Strain.Volts, v, most);
            if (r.ReverseVolts is { } back && t.Volts(d.Nodes[1], d.Nodes[0]) is { Max: > 0 } b) yield return Peak(d, Strain.ReverseVolts, b, back);
        }

        static Overload Peak(Device d, Strain what, Wave w, double most) => w.Max is var max && max > most ? new(d.Name, what, max, most, Passed(w, most) ?? w.Times[^1]) : new(d.Name, what, max, most);
    }

    /// <summary>Keeps what was gathered up to the end of a run.</summary>
    public void Carry(Transient t, Netlist circuit)
    {
        foreach (var d in circuit.Devices)
        {
            if (d is Fuse { ShedSeconds: { } shed }) _gathered[d.Name] = Walk(t.Amperes(d.Name), Gathered(d), (g, i) => i * i - g / shed, double.PositiveInfinity).End;
            else if (d.Ratings is { Watts: { } watts, JoulesToDamage: not null }) _gathered[d.Name] = Walk(t.Watts(d.Name), Gathered(d), (_, p) => p - watts, double.PositiveInfinity).End;
        }
    }

    /// <summary>The part that gives way next if all goes on at the means of a run, and after how many seconds; null when all may last.</summary>
    public (string Part, double After, Overload Why)? Next(Transient t, Netlist circuit)
    {
        (string Part, double After, Overload Why)? next = null;
        foreach (var d in circuit.Devices)
        {
            double after;
            Overload why;
            if (d is Fuse { Ratings.MeltingAmpereSquaredSeconds: { } melting, ShedSeconds: { } shed })
            {
                var settles = shed * MeanSquare(t, d);
                if (settles <= melting * 1.001) continue;
                (after, why) = (shed * Math.Log((settles - Gathered(d)) / (settles - melting)), new(d.Name, Strain.Melts, melting, melting));
            }
            else if (d.Ratings is { Watts: { } watts, JoulesToDamage: { } joules } && t.Watts(d.Name).Mean is var mean && mean >= Destruction.Lasts * watts)
                (after, why) = ((joules - Gathered(d)) / (mean - watts), new(d.Name, Strain.Heat, joules, joules));
            else continue;
            after = Math.Max(after, 0);
            if (next is not { } n || after < n.After) next = (d.Name, after, why);
        }
        return next;
    }

    /// <summary>Goes on for some seconds at the means of a run.</summary>
    public void Leap(Transient t, Netlist circuit, double seconds)
    {
        foreach (var d in circuit.Devices)
        {
            if (d is Fuse { ShedSeconds: { } shed }) _gathered[d.Name] = shed * MeanSquare(t, d) is var s ? s + (Gathered(d) - s) * Math.Exp(-seconds / shed) : 0;
            else if (d.Ratings is { Watts: { } watts, JoulesToDamage: not null } && t.Watts(d.Name).Mean is var mean && mean >= Destruction.Lasts * watts)
                _gathered[d.Name] = Gathered(d) + seconds * (mean - watts);
        }
    }

    /// <summary>What was gathered belonged to the part as it was.</summary>
    public void Forget(string part) => _gathered.Remove(part);

    private double Gathered(Device d) => _gathered.GetValueOrDefault(d.Name);

    private static double MeanSquare(Transient t, Device d) => Math.Pow(t.Amperes(d.Name).Rms, 2);

    private static double? Passed(Wave w, double most)
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
            if (next > limit) return (next, next > sum ? times[k - 1] + h * Math.Max(0, limit - sum) / (next - sum) : times[k - 1]);
            sum = next;
        }
        return (sum, null);
    }
}
