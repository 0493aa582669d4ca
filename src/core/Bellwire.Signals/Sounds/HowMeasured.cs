using System.Collections.Immutable;

namespace Bellwire.Signals;

/// <summary>How a result was come by; every result carries one.</summary>
/// <param name="Method">In words.</param>
/// <param name="Window">Name of the window, or "none".</param>
/// <param name="LowHertz">Lower edge of what was counted, Hz; 0 where DC counts.</param>
/// <param name="HighHertz">Upper edge, Hz, at most half the rate.</param>
/// <param name="UncertaintyDb">Of the level given, dB, about two standard deviations; what the recording chain adds is not in it.</param>
/// <param name="Warnings">What the reader must know, in words.</param>
public sealed record HowMeasured(string Method, string Window, double LowHertz, double HighHertz, double UncertaintyDb, ImmutableArray<string> Warnings)
{
    public HowMeasured(string method, string window, double lowHertz, double highHertz, double uncertaintyDb)
        : this(method, window, lowHertz, highHertz, uncertaintyDb, []) { }
}
