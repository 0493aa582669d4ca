using Bellwire.Signals;

namespace Bellwire.Counsel.Ears;

/// <summary>What was measured on one recording, as far as a finding needs it: what was not asked for, or could not be measured, is null.</summary>
/// <param name="Channel">Level, noise and hum of the channel listened to.</param>
/// <param name="SetOff">The same channel of the same lead with the set off (the null run).</param>
/// <param name="Hum">The verdict over <paramref name="Channel"/> less <paramref name="SetOff"/>.</param>
public sealed record Listened(HeardChannel Channel, HeardChannel? SetOff, HumVerdict? Hum)
{
    public Distortion? Tone { get; init; }
    /// <summary>The second channel at the tone of the first.</summary>
    public Separation? Apart { get; init; }
    public Balance? Balance { get; init; }
    public Response? Response { get; init; }
    public Chime? Chime { get; init; }
    /// <summary>Why what was asked for could not be measured.</summary>
    public string? Complaint { get; init; }
}
