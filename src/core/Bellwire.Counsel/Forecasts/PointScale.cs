using Bellwire.Circuits;

namespace Bellwire.Counsel;

/// <summary>The scale on which readings at a point are compared: volts and amperes as they are, ohms by decades, since they run from a closed
/// contact to nothing at all. What an ohmmeter cannot show any more stands at the end of its scale.</summary>
internal readonly record struct PointScale(bool Decades)
{
    /// <summary>Meter ±1 % (common practice, no source); the sheet's circuit is itself no closer to the set than some 2 % (estimate).</summary>
    private const double Meter = 0.01, Model = 0.02;

    /// <summary>What leads and probe tips have, Ω, and how well that is known (common practice, no source). The scale counts them in, so that nothing is no special value.</summary>
    private const double LeadOhms = 0.2, LeadSpread = 0.1;

    /// <summary>Where OL stands on a scale of decades.</summary>
    public static double End { get; } = Math.Log10(Ohmmeter.MostOhms + LeadOhms);

    /// <summary>The end, in decades, of the range a hand sets for a good reading: 400 Ω, 4 kΩ … (common practice, no source).</summary>
    public static double RangeFor(double ohms)
    {
        var end = 400.0;
        while (end < ohms && end < Ohmmeter.MostOhms) end *= 10;
        return Math.Log10(end + LeadOhms);
    }

    /// <param name="value">In the point's unit; infinite for OL.</param>
    public double In(double value) => Decades ? Math.Log10(Math.Clamp(value, 0, Ohmmeter.MostOhms) + LeadOhms) : value;

    public double Out(double scaled) => !Decades ? scaled : scaled >= End - 1e-6 ? double.PositiveInfinity : Math.Max(0, Math.Pow(10, scaled) - LeadOhms);

    /// <summary>Standard deviation of a reading about what stands there, on the scale.</summary>
    /// <param name="span">Lowest and highest that any state may read.</param>
    public double Uncertainty(double scaled, (double Low, double High) span)
    {
        var least = 0.002 * (span.High - span.Low);
        if (Decades)
        {
            var ohms = Math.Pow(10, scaled);
            var spread = Math.Sqrt(Math.Pow(Meter * ohms, 2) + Math.Pow(Model * ohms, 2) + LeadSpread * LeadSpread) / (ohms * Math.Log(10));
            return Math.Sqrt(spread * spread + least * least);
        }
        // A meter of three digits; half of the last one either way is spread evenly: σ = digit / √12.
        var digit = scaled == 0 ? 0 : Math.Pow(10, Math.Floor(Math.Log10(Math.Abs(scaled))) - 2);
        return Math.Sqrt(Math.Pow(Meter * scaled, 2) + Math.Pow(Model * scaled, 2) + digit * digit / 12 + least * least);
    }
}
