using System.Collections.Immutable;

namespace Bellwire.Signals;

/// <summary>One harmonic of the line.</summary>
/// <param name="Order">1 is the line's own frequency.</param>
/// <param name="Peak">Peak amplitude re full scale, noise taken off; 0 when nothing stands out of the noise.</param>
/// <param name="Hidden">Peak amplitude that would just have been found above the noise here.</param>
/// <param name="Found">Stands out of the noise.</param>
/// <param name="UncertaintyDb">About two standard deviations; infinite when not found.</param>
public sealed record HumLine(int Order, double Hertz, double Peak, double Hidden, bool Found, double UncertaintyDb)
{
    public double RmsDbfs => Decibels.Of(Peak / Math.Sqrt(2));
}

/// <summary>Hum of one channel, split by line harmonics.</summary>
/// <param name="LineHertz">The line's frequency as found, Hz.</param>
/// <param name="Lines">Orders 1, 2, … up to 20 or what the rate holds.</param>
/// <param name="Seconds">Of sound measured.</param>
public sealed record Hum(double LineHertz, ImmutableArray<HumLine> Lines, double Seconds, HowMeasured How)
{
    /// <summary>RMS of all harmonics found, re full scale.</summary>
    public double Rms => Math.Sqrt(Lines.Sum(l => l.Peak * l.Peak) / 2);
    public double RmsDbfs => Decibels.Of(Rms);
    /// <summary>RMS of the line's frequency and its odd harmonics.</summary>
    public double OddRms => Math.Sqrt(Lines.Where(l => l.Order % 2 == 1).Sum(l => l.Peak * l.Peak) / 2);
    /// <summary>RMS of twice the line's frequency and its harmonics.</summary>
    public double EvenRms => Math.Sqrt(Lines.Where(l => l.Order % 2 == 0).Sum(l => l.Peak * l.Peak) / 2);
    /// <summary>RMS below which all hum together would be hidden in the noise.</summary>
    public double HiddenRms => Math.Sqrt(Lines.Sum(l => l.Hidden * l.Hidden) / 2);
}
