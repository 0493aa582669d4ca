namespace Bellwire.Circuits.Shapes;

/// <summary>
/// A small line transformer as the bench reads it: the secondary's volts with nothing connected, and either what a
/// meter says of the windings or what the label says of VA and regulation.
/// </summary>
/// <param name="OpenVolts">RMS of the secondary without load at <see cref="LineVolts"/>, 1 to 1000 V; <b>of one half</b> where the shape uses a tap.</param>
public sealed record TransformerAsRead(double OpenVolts)
{
    /// <summary>RMS, 50 to 300 V.</summary>
    public double LineVolts { get; init; } = 120;

    /// <summary>40 to 70 Hz (400 Hz sets are no business of this shop).</summary>
    public double LineHertz { get; init; } = 60;

    /// <summary>How far the line strays, relative; 5 % is what ANSI C84.1 range A allows at the service.</summary>
    public double LineTolerance { get; init; } = 0.05;

    /// <summary>House wiring and street, Ω (common practice, no source).</summary>
    public double LineOhms { get; init; } = 0.5;

    /// <summary>Read with a meter, Ω; null when not read.</summary>
    public double? PrimaryOhms { get; init; }

    /// <summary>Read with a meter, Ω, <b>of one half</b> where the shape uses a tap; null when not read.</summary>
    public double? SecondaryOhms { get; init; }

    /// <summary>Of the label, 1 to 2000 VA; of the whole winding. Not needed where winding ohms were read.</summary>
    public double? VoltAmperes { get; init; }

    /// <summary>(open − loaded)/loaded volts in percent at the rated current, 1 to 60; null takes <see cref="UsualRegulation"/> for the VA.</summary>
    public double? RegulationPercent { get; init; }

    /// <summary>Seen from the primary, H; null for an ideal core.</summary>
    public double? MagnetisingHenries { get; init; }

    /// <summary>
    /// Regulation of a small laminated transformer when nobody read it: 45 %·VA^−0.35 – 20 % at 10 VA, 12 % at 50 VA, 9 % at
    /// 100 VA (common practice, no source; IEC 61558-2-6 only limits it).
    /// </summary>
    public static double UsualRegulation(double voltAmperes) => Math.Clamp(45 * Math.Pow(voltAmperes, -0.35), 3, 40);

    /// <summary>
    /// All of the transformer seen as one resistance in series with the winding (of the <b>whole</b> winding), Ω, from VA and
    /// regulation: with r = (Vopen − Vload)/Vload on a resistive load, R = (Vopen − Vload)/I = r·Vload²/VA, Vload = Vopen/(1 + r).
    /// Regulation by the loaded volts as makers of toroids define it.
    /// </summary>
    public static double SeriesOhms(double openVolts, double voltAmperes, double regulationPercent)
    {
        Ranged.Positive(openVolts, "open volts");
        Ranged.Positive(voltAmperes, "volt-amperes");
        Ranged.Positive(regulationPercent, "regulation percent");
        var r = regulationPercent / 100;
        var loaded = openVolts / (1 + r);
        return r * loaded * loaded / voltAmperes;
    }

    /// <summary>
    /// Wire resistance of the primary and of the secondary (of one half where tapped), Ω. What was read stands; what was not is
    /// given the same copper loss as the other side – the usual share of a window (Lee, <i>Electronic Transformers and Circuits</i>).
    /// </summary>
    public (double Primary, double Secondary) WindingOhms(bool tapped)
    {
        var ratio = LineVolts / OpenVolts;
        // On a load across the whole winding equal losses make a half the fourth of the whole, and the primary seen from a half the eighth.
        var primaryShare = tapped ? 0.5 : 1;
        if (SecondaryOhms is { } s) return (PrimaryOhms ?? s * primaryShare * ratio * ratio, s);
        if (PrimaryOhms is { } p) return (p, p / (ratio * ratio * primaryShare));
        var va = VoltAmperes ?? throw new InvalidOperationException("Neither winding ohms nor VA are known.");
        var whole = SeriesOhms(tapped ? 2 * OpenVolts : OpenVolts, va, RegulationPercent ?? UsualRegulation(va));
        var half = whole / (tapped ? 4 : 2);
        return (half * primaryShare * ratio * ratio, half);
    }

    /// <summary>Line, primary and secondary as one resistance in series with what conducts at a time (the winding, or one half of it), Ω.</summary>
    public double SourceOhms(bool tapped)
    {
        var (primary, secondary) = WindingOhms(tapped);
        var ratio = OpenVolts / LineVolts;
        return secondary + (primary + LineOhms) * ratio * ratio;
    }

    internal void Check(Checks on)
    {
        on.Range("OpenVolts", OpenVolts, 1, 1000, "V");
        on.Range("LineVolts", LineVolts, 50, 300, "V");
        on.Range("LineHertz", LineHertz, 40, 70, "Hz");
        on.Range("LineTolerance", LineTolerance, 0, 0.3);
        on.Range("LineOhms", LineOhms, 1e-3, 50, "Ω");
        on.Range("PrimaryOhms", PrimaryOhms, 0.01, 20_000, "Ω");
        on.Range("SecondaryOhms", SecondaryOhms, 0.001, 2000, "Ω");
        on.Range("VoltAmperes", VoltAmperes, 1, 2000, "VA");
        on.Range("RegulationPercent", RegulationPercent, 1, 60, "%");
        on.Range("MagnetisingHenries", MagnetisingHenries, 0.01, 1000, "H");
        if (PrimaryOhms is null && SecondaryOhms is null && VoltAmperes is null)
            on.Say("SecondaryOhms", "Give the ohms of the windings, or the VA of the label (with the regulation, if it is known).");
    }
}
