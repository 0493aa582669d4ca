using System.Collections.Immutable;

namespace Bellwire.Circuits;

/// <summary>Parts of a circuit in its steady state held against their ratings; parts without ratings are not judged.</summary>
public static class Stress
{
    /// <returns>What lies beyond its rating, worst ratio first; empty when nothing does.</returns>
    public static ImmutableArray<Overload> Of(SteadyState s) =>
        [.. s.Netlist.Devices.SelectMany(d => Of(d, (a, b) => s.Volts(a, b), pin => s.Amperes(d.Name, pin), () => s.Watts(d.Name))).OrderByDescending(o => o.Ratio)];

    internal static IEnumerable<Overload> Of(Device d, Func<string, string, Wave> volts, Func<int, Wave> amperes, Func<Wave> watts)
    {
        var r = d.Ratings;
        if (r?.Volts is { } most && RatedWave(d, volts) is { } v && v.Max > most) yield return new(d.Name, Strain.Volts, v.Max, most);
        if (r?.ReverseVolts is { } reverse && volts(d.Nodes[1], d.Nodes[0]).Max is var back && back > reverse) yield return new(d.Name, Strain.ReverseVolts, back, reverse);
        if (MostAmperes(d) is { } limit)
        {
            var rms = Enumerable.Range(0, d.Nodes.Length).Max(pin => amperes(pin).Rms);
            if (rms > limit) yield return new(d.Name, Strain.Amperes, rms, limit);
        }
        if (r?.Watts is { } heat && watts().Mean is var mean && mean > heat) yield return new(d.Name, Strain.Watts, mean, heat);
    }

    /// <summary>What a part may carry, A RMS: its rating, or what a fuse is marked with.</summary>
    internal static double? MostAmperes(Device d) => d.Ratings?.Amperes ?? (d as Fuse)?.RatedAmperes;

    /// <summary>The voltage a rating is about: reverse volts of a rectifier, plus to minus of a capacitor, collector to emitter, input to common; else either way.</summary>
    internal static Wave RatedWave(Device d, Func<string, string, Wave> volts)
    {
        Wave Size(string a, string b)
        {
            var w = volts(a, b);
            return w.With(w, (x, _) => Math.Abs(x));
        }

        return d switch
        {
            Diode or SeleniumStack => volts(d.Nodes[1], d.Nodes[0]),
            Capacitor when d.Ratings?.ReverseVolts is not null => volts(d.Nodes[0], d.Nodes[1]),
            BipolarTransistor or Mosfet or Regulator => Size(d.Nodes[0], d.Nodes[2]),
            OpAmp => volts(d.Nodes[3], d.Nodes[4]),
            _ => Size(d.Nodes[0], d.Nodes[1]),
        };
    }
}
