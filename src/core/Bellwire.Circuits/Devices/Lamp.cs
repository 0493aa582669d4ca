using Bellwire.Circuits.Solving;
using Bellwire.Circuits.Tolerances;

namespace Bellwire.Circuits;

/// <summary>
/// A filament lamp: cold about a tenth of its hot resistance, warming with what it dissipates. Filament temperature T is
/// an unknown in multiples of the room's 293 K: R = Rcold·T^1.2 (tungsten), loss = rated·(T⁴ − 1)/(Thot⁴ − 1).
/// </summary>
public sealed record Lamp : TwoTerminal
{
    /// <param name="ratedVolts">V RMS.</param>
    /// <param name="ratedWatts">W at rated volts.</param>
    /// <param name="hotToCold">Ratio of hot to cold resistance, above 1; 10 to 15 (check values: from memory).</param>
    /// <param name="warmSeconds">Time constant of warming, s.</param>
    public Lamp(string name, string a, string b, double ratedVolts, double ratedWatts, double hotToCold = 12, double warmSeconds = 0.05) : base(name, a, b) =>
        (RatedVolts, RatedWatts, HotToCold, WarmSeconds) = (ratedVolts, ratedWatts, hotToCold, warmSeconds);

    public double RatedVolts { get; init => field = Ranged.Positive(value, "rated volts"); }
    public double RatedWatts { get; init => field = Ranged.Positive(value, "rated watts"); }
    public double HotToCold { get; init => field = Ranged.Within(value, 1.01, 100, "hot to cold ratio"); }
    public double WarmSeconds { get; init => field = Ranged.Positive(value, "warm-up seconds"); }
    public double Tolerance { get; init; }
    public double HotOhms => RatedVolts * RatedVolts / RatedWatts;
    public double ColdOhms => HotOhms / HotToCold;
    internal double HotTemperature => Math.Pow(HotToCold, 1 / 1.2);
    public override IEnumerable<Fault> UsualFaults => [new Open(Name)];
    public override Device Drawn(Draw draw) => this with { RatedWatts = draw.Value(RatedWatts, Tolerance) };

    internal override void Export(SpiceText t)
    {
        var (a, b, heat) = (t.Node(Nodes[0]), t.Node(Nodes[1]), t.Inner("heat"));
        var hot = $"(1+max(v({heat}),-0.5))";
        var conductance = $"(pwr({hot},-1.2)/{SpiceText.N(ColdOhms)})";
        t.C(heat, "0", RatedWatts * WarmSeconds / (HotTemperature - 1));
        t.B(a, b, $"v({a},{b})*{conductance}");
        t.B(heat, "0", $"{SpiceText.N(RatedWatts / (Math.Pow(HotTemperature, 4) - 1))}*(pwr({hot},4)-1)-v({a},{b})*v({a},{b})*{conductance}");
    }

    internal override void Install(Assembly into)
    {
        var heat = into.Unknown($"{Name}#heat"); // temperature rise above the room, in units of 293 K
        into.Add(new LampElement(this, into.Pin(0), into.Pin(1), heat));
        into.Capacitive(Name, heat, into.Ground, RatedWatts * WarmSeconds / (HotTemperature - 1), 0);
    }
}

internal sealed class LampElement(Lamp lamp, Terminal a, Terminal b, Terminal heat) : Nonlinear(lamp.Name, a, b, heat)
{
    private readonly double _loss = lamp.RatedWatts / (Math.Pow(lamp.HotTemperature, 4) - 1);
    public override int Memory => 1;

    public override bool Evaluate(ReadOnlySpan<double> v, Span<double> i, Span<double> g, Span<double> memory, bool limit)
    {
        var (u, seen) = (v[0] - v[1], v[2]);
        var limited = false;
        var rise = seen;
        if (limit) // one unit of temperature an iteration, so that the cold filament's power does not throw it to the stars
        {
            rise = Math.Clamp(seen, memory[0] - 1, memory[0] + 1);
            limited = rise != seen;
        }
        rise = Math.Max(rise, -0.5);
        memory[0] = rise;
        var t = 1 + rise;
        var conductance = 1 / (lamp.ColdOhms * Math.Pow(t, 1.2));
        var byHeat = -1.2 * conductance / t;
        var (d, power) = (seen - rise, u * u * conductance);
        i[0] = u * conductance + u * byHeat * d;
        i[1] = -i[0];
        var loss = _loss * (t * t * t * t - 1);
        var lossSlope = 4 * _loss * t * t * t;
        var heatSlope = lossSlope - u * u * byHeat;
        i[2] = loss - power + heatSlope * d;
        g[0] = conductance; g[1] = -conductance; g[2] = u * byHeat;
        g[3] = -g[0]; g[4] = -g[1]; g[5] = -g[2];
        g[6] = -2 * u * conductance; g[7] = -g[6]; g[8] = heatSlope;
        return limited;
    }
}
