using System.Collections.Immutable;
using Bellwire.Quantities;

namespace Bellwire.Counsel.Mends;

/// <summary>The switch-on pulse against a fuse's melting I²t. Pulse shares and the ½·I²·t of a decaying pulse: a fuse maker's selection guide, chart 2; the step is an upper bound.</summary>
public sealed class FusePulseSum : Calculation
{
    private static readonly ImmutableArray<(int Pulses, double Share)> Shares = [(100, .48), (1000, .38), (10_000, .29), (100_000, .22)];

    private static readonly NumberAsk Volts = new("volts", "Peak of the winding", "V", 1, 1000) { Required = true };
    private static readonly NumberAsk Ohms = new("ohms", "Ohms in the way", "Ω", 0.01, 1000) { Required = true, Hint = "Winding, wires, fuse." };
    private static readonly NumberAsk Farads = new("farads", "Reservoir", "F", 1e-7, 0.2) { Prefix = "µ", Required = true };
    private static readonly NumberAsk Melt = new("melt", "The marked fuse’s melting I²t", "A²s", 1e-4, 1e5) { Hint = "From its data sheet." };

    public override string Id => "fuse-pulse";
    public override string Title => "Fuse and the switch-on pulse";
    public override string About => "How many switch-ons a fuse of the marked kind should bear.";
    public override ImmutableArray<Ask> Asks { get; } = [Volts, Ohms, Farads, Melt];

    public override Finding Answer(Given given)
    {
        var tally = Weigh(given);
        var peak = given.Need(Volts) / given.Need(Ohms);
        var pulse = 0.5 * peak * peak * given.Need(Ohms) * given.Need(Farads);
        tally.Figure("peak", "Peak current", peak, "A", "at most").Figure("pulse", "Its I²t", pulse, "A²s", "at most");
        foreach (var (pulses, share) in Shares) tally.Figure($"need-{pulses}", $"Melting I²t for {pulses} switch-ons", pulse / share, "A²s", "at least");
        tally.Mind("If the marked fuse does not bear it, the answer is not a slower one: see whether somebody fitted a larger reservoir.");
        if (given[Melt] is not { } melt) return tally.Reckoned($"The pulse is at most {Engineering.Say(pulse, "A²s")}.");
        tally.Figure("share", "Pulse against melting", pulse / melt * 100, "%");
        var last = Shares.LastOrDefault(s => pulse / melt <= s.Share);
        return tally.Reckoned(last.Pulses == 0 ? "Too much even for a hundred switch-ons." : $"Good for about {last.Pulses} switch-ons.");
    }
}
