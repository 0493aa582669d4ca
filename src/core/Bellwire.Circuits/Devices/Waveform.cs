namespace Bellwire.Circuits;

/// <summary>What a source does in time, V or A.</summary>
public abstract record Waveform
{
    /// <summary>The value at a time in seconds, from switch-on.</summary>
    public abstract double At(double seconds);

    /// <summary>The value with all alternation asleep: what the DC operating point sees.</summary>
    public abstract double Direct { get; }

    /// <summary>The repetition rate in hertz; 0 when steady, null when it never repeats.</summary>
    public virtual double? RepeatsHertz => 0;

    /// <summary>Corners a time step must not straddle.</summary>
    public virtual IEnumerable<double> Corners => [];
}

/// <summary>A steady value.</summary>
public sealed record Steady(double Value) : Waveform
{
    public override double At(double seconds) => Value;
    public override double Direct => Value;
}

/// <summary>A sine: offset + √2·rms·sin(2π·hertz·t + phase). Line voltages and test tones.</summary>
/// <param name="Rms">RMS of the alternation.</param>
/// <param name="Hertz">Above 0.</param>
/// <param name="PhaseDegrees">0 starts at zero, rising.</param>
/// <param name="Offset">A direct part on top.</param>
public sealed record Sine(double Rms, double Hertz, double PhaseDegrees = 0, double Offset = 0) : Waveform
{
    public double Hertz { get; init => field = Ranged.Positive(value, nameof(Hertz)); } = Ranged.Positive(Hertz, nameof(Hertz));

    /// <summary>Amplitude, √2·RMS.</summary>
    public double Peak => Rms * Math.Sqrt(2);

    // Nothing is kept beside the four values: a copy with another of them would go on with the old.
    public override double At(double seconds) => Offset + Peak * Math.Sin(2 * Math.PI * Hertz * seconds + PhaseDegrees * (Math.PI / 180));
    public override double Direct => Offset;
    public override double? RepeatsHertz => Hertz;
}

/// <summary>From one value to another, beginning at a time, straight over a rise time.</summary>
public sealed record Step(double From, double To, double AtSeconds = 0, double RiseSeconds = 1e-6) : Waveform
{
    public override double At(double seconds) => seconds <= AtSeconds ? From
        : seconds >= AtSeconds + RiseSeconds ? To : From + (To - From) * (seconds - AtSeconds) / RiseSeconds;
    public override double Direct => From;
    public override double? RepeatsHertz => null;
    public override IEnumerable<double> Corners => [AtSeconds, AtSeconds + RiseSeconds];
}
